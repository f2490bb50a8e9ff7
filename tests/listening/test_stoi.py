"""Short-time objective intelligibility, held against pystoi, the published reference code."""

import warnings

import numpy as np
import pytest
from pystoi import stoi as reference

from broadcaster.listening.stoi import RATE_HZ, CleanSpeech, at_10_khz
from broadcaster.units import RATE, Samples, silence
from tests.listening.speech import speech

SENTENCE = "If you see a light on the sand, leave it there. Four crates stand on your landing."


def noisy(clean: Samples, snr_db: float) -> Samples:
    noise = np.random.default_rng(7).standard_normal(len(clean))
    noise *= np.linalg.norm(clean) / np.linalg.norm(noise) * 10 ** (-snr_db / 20)
    return (clean + noise).astype(np.float32)


@pytest.mark.parametrize("snr_db", [40, 15, 5, 0, -5, -20])
def test_pystoi_measures_the_same(snr_db):
    """From the same samples at 10 kHz within 1e-6; where pystoi resamples itself, within 1e-4."""
    clean = speech(SENTENCE)
    received = noisy(clean, snr_db)
    ours = CleanSpeech(clean).stoi(received)
    with warnings.catch_warnings():
        warnings.simplefilter("error")
        at_its_rate = reference(at_10_khz(clean), at_10_khz(received), RATE_HZ)
        assert ours == pytest.approx(at_its_rate, abs=1e-6)
        assert ours == pytest.approx(reference(clean, received, RATE), abs=1e-4)


def test_the_level_does_not_count():
    """Speech untouched measures 1, and 20 dB softer, too."""
    clean = speech(SENTENCE)
    heard = CleanSpeech(clean)
    assert heard.stoi(clean) == pytest.approx(1.0, abs=1e-9)
    assert heard.stoi(clean * np.float32(0.1)) == pytest.approx(1.0, abs=1e-4)


def test_it_falls_with_the_noise():
    """Step by step."""
    clean = speech(SENTENCE)
    heard = CleanSpeech(clean)
    measured = [heard.stoi(noisy(clean, snr_db)) for snr_db in range(30, -21, -5)]
    assert measured == sorted(measured, reverse=True)


def test_what_is_too_short():
    """Less than 0.4 s of speech cannot be compared, and says so; unequal lengths as well."""
    for short in (silence(100), speech("I")[:4_800]):
        with pytest.raises(ValueError, match=r"less than 0\.4 s"):
            CleanSpeech(short)
    clean = speech(SENTENCE)
    with pytest.raises(ValueError, match="cannot be compared with"):
        CleanSpeech(clean).stoi(clean[:-1])
