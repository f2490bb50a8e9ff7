"""The cheap link: its band, its noise, and what it leaves alone."""

import numpy as np
import pytest
from scipy.signal import freqz_sos, welch

from broadcaster.listening.link import SIGNAL_TO_NOISE_DB, through_link
from broadcaster.period.emphasis import EUROPE_S, DeEmphasis, PreEmphasis, de_emphasis_sections
from broadcaster.units import RATE, Samples, db_from_gain, silence


def sine(hertz: float, seconds: float = 1.0) -> Samples:
    phase = 2 * np.pi * hertz * np.arange(int(seconds * RATE)) / RATE
    return np.sin(phase).astype(np.float32)


def gain_db(hertz: float) -> float:
    """How the link changes the level of a full-scale sine, its noise taken off."""
    tone = sine(hertz)
    heard = through_link(tone, 1) - through_link(silence(len(tone)), 1)
    middle = slice(RATE // 4, -RATE // 4)
    return db_from_gain(float(np.linalg.norm(heard[middle]) / np.linalg.norm(tone[middle])))


@pytest.mark.parametrize(
    ("hertz", "expected_db"),
    # Butterworth, second order: -3.01 dB at an edge, -12.3 dB an octave beyond it
    [(300, -3.01), (150, -12.30), (5_000, -3.01), (10_000, -12.30), (1_200, 0.0)],
)
def test_the_loudspeaker(hertz, expected_db):
    """300 Hz to 5 kHz at -3 dB, 12 dB an octave beyond."""
    assert gain_db(hertz) == pytest.approx(expected_db, abs=0.1)


def test_the_sound_channel():
    """Nothing above 15 kHz passes."""
    assert gain_db(15_500) < -80.0


def test_speech_keeps_its_time():
    """A click comes out on the frame on which it went in."""
    click = silence(4_800)
    click[2_000] = 1.0
    assert np.abs(through_link(click, 1)).argmax() == 2_000


def test_the_receivers_noise():
    """Such as a demodulator's rising noise leaves behind de-emphasis, SIGNAL_TO_NOISE_DB down.

    Held against the de-emphasis of the period room, at 1 to 4 kHz.
    """
    heard = through_link(silence(20 * RATE), 7)
    frequency, power = welch(heard, RATE, nperseg=4_800)
    _, behind = freqz_sos(de_emphasis_sections(EUROPE_S), worN=frequency, fs=RATE)
    expected = np.square(frequency * np.abs(behind))
    level = expected[frequency <= 15_000].sum() * (frequency[1] - frequency[0])
    expected *= 0.5 * 10 ** (-SIGNAL_TO_NOISE_DB / 10) / level
    inside = (frequency >= 1_000) & (frequency <= 4_000)
    loudspeaker = 1 / (1 + (frequency / 5_000) ** 4) / (1 + (300 / np.maximum(frequency, 1)) ** 4)
    assert 10 * np.log10((power[inside].sum()) / (expected * loudspeaker)[inside].sum()) == (
        pytest.approx(0.0, abs=0.2)
    )


def test_emphasis_undoes_itself():
    """What the link leaves out, because it cancels: within 0.01 dB."""
    speech = np.random.default_rng(5).standard_normal(RATE).astype(np.float32)
    there = PreEmphasis(EUROPE_S).process(speech, 0)
    back = DeEmphasis(EUROPE_S).process(there, 0)
    assert np.abs(back - speech).max() < 0.001 * np.abs(speech).max()


def test_the_same_seed_is_the_same_noise():
    """And another seed is another."""
    quiet = silence(9_000)
    assert np.array_equal(through_link(quiet, 3), through_link(quiet, 3))
    assert not np.array_equal(through_link(quiet, 3), through_link(quiet, 4))
