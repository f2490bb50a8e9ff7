"""Levels: as loud as speech, and never past full scale."""

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from broadcaster.sound.keying import keying
from broadcaster.sound.level import as_loud_as_speech, at_level
from broadcaster.sound.morse import tone_of
from broadcaster.sound.pips import time_signal
from broadcaster.sound.tone import steady_tone
from broadcaster.units import RATE, silence
from broadcaster.voice.finish import SPEECH_DBFS, sounding_rms


@pytest.mark.parametrize(
    "samples",
    [steady_tone([650], 2), tone_of(keying("TTT", 5), 650), time_signal(6)[5 * RATE :]],
    ids=["tone", "Morse", "pips"],
)
def test_sines_are_as_strong_as_speech(samples):
    """While it sounds, a keyed or steady sine has the RMS of speech to 0.5 dB."""
    assert 20 * np.log10(sounding_rms(samples)) == pytest.approx(SPEECH_DBFS, abs=0.5)


@pytest.mark.parametrize(("level_db", "gain"), [(-60, 1e-3), (-20, 0.1), (0, 1), (6.0206, 2)])
def test_a_level_is_a_gain(level_db, gain):
    """20 dB is ten times the amplitude."""
    samples = steady_tone([650], 0.1)
    assert np.allclose(at_level(samples, level_db), samples * gain, rtol=1e-4, atol=1e-9)


@given(
    arrays(np.float32, st.integers(0, 50), elements=st.floats(-4, 4, width=32)),
    st.floats(-60, 12),
)
def test_the_ceiling_is_never_passed_and_nothing_is_cut(samples, level_db):
    """Full scale at most, and always the same sound: every sample by one and the same factor."""
    levelled = at_level(samples, level_db)
    assert levelled.dtype == np.float32
    assert np.abs(levelled).max(initial=0) <= 1
    if samples.any():
        loudest = int(np.argmax(np.abs(samples)))
        factor = levelled[loudest] / samples[loudest]
        assert np.allclose(levelled, samples * factor, rtol=1e-5, atol=1e-30)


def test_silence_has_no_level():
    """Silence stays silence, and nothing stays nothing."""
    assert not as_loud_as_speech(silence(100)).any()
    assert len(as_loud_as_speech(silence(0))) == 0
