"""The Speech Intelligibility Index against values published with other implementations of it."""

import numpy as np
import pytest

from broadcaster.listening.sii import (
    BANDS_HZ,
    EDGES_HZ,
    IMPORTANCE,
    NORMAL_EFFORT,
    NORMAL_EFFORT_SPL,
    spectrum_levels,
    speech_intelligibility_index,
)
from broadcaster.units import RATE, db_from_power, power_from_db

# fmt: off
SHOUT = np.array([30.77, 36.65, 42.50, 46.51, 47.40, 49.24, 51.21, 51.44, 51.31,
                  49.63, 47.65, 44.32, 40.80, 38.13, 34.41, 28.24, 23.45, 20.72])
# fmt: on
"""Spectrum level of shouted speech: ANSI S3.5-1997, Table 3."""
BOTH_EARS = -1.7
"""Threshold of a listener with two ears, dB: ANSI S3.5-1997."""
NO_NOISE = -50.0
ODD_SPEECH = [90, 5, *[40] * 12, *[-10] * 4]
ODD_NOISE = [10, -10, -10, 75, *[-10] * 10, *[10] * 4]
ODD_THRESHOLD = [90, *[0] * 17]


@pytest.mark.parametrize(
    ("importance", "expected"),
    [(IMPORTANCE["standard"], 0.445), (np.array([*[0] * 9, *[0.1] * 7, 0.3, 0]), 0.438)],
)
def test_an_awkward_case(importance, expected):
    """Loud, faint and deaf bands: the test files of google/speech_intelligibility_index."""
    index = speech_intelligibility_index(ODD_SPEECH, ODD_NOISE, ODD_THRESHOLD, importance)
    assert round(index, 3) == expected


@pytest.mark.parametrize(
    ("effort", "noise", "metres", "expected"),
    [
        (NORMAL_EFFORT, NO_NOISE, 0.5, 1.0000),
        (NORMAL_EFFORT, NO_NOISE, 1, 0.9969),
        (NORMAL_EFFORT, NO_NOISE, 10, 0.9583),
        (NORMAL_EFFORT, NO_NOISE, 20, 0.8627),
        (SHOUT, NO_NOISE, 0.5, 0.8809),
        (SHOUT, NO_NOISE, 1, 0.9177),
        (SHOUT, NO_NOISE, 10, 0.9958),
        (SHOUT, NO_NOISE, 20, 0.9900),
        (SHOUT, 0, 1, 0.9177),
        (SHOUT, 20, 1, 0.8795),
        (SHOUT, 40, 1, 0.5372),
        (SHOUT, 60, 1, 0.0534),
    ],
)
def test_speech_from_afar_and_in_white_noise(effort, noise, metres, expected):
    """To the last digit given with google/speech_intelligibility_index (its test files)."""
    speech = effort - 20.0 * np.log10(metres)
    assert round(speech_intelligibility_index(speech, noise, BOTH_EARS), 4) == expected


def test_speech_shaped_noise():
    """Falls with the noise, a little under (SNR + 15) / 30 because masking spreads upwards."""
    noise = [NORMAL_EFFORT - snr for snr in (-15, -10, 0, 5, 10, 15)]
    indexes = [speech_intelligibility_index(NORMAL_EFFORT, each) for each in noise]
    assert indexes == pytest.approx([0, 0.1248, 0.4663, 0.6363, 0.8052, 0.9715], abs=0.001)


def test_the_table():
    """Importance sums to 1 in each column; normal speech is 62.35 dB SPL within 0.1 dB."""
    assert IMPORTANCE["standard"].sum() == pytest.approx(1.0, abs=1e-9)
    assert all(column.sum() == pytest.approx(1.0, abs=2e-4) for column in IMPORTANCE.values())
    overall = db_from_power((power_from_db(NORMAL_EFFORT) * np.diff(EDGES_HZ)).sum())
    assert overall == pytest.approx(NORMAL_EFFORT_SPL, abs=0.1)


def test_spectrum_levels_of_white_noise():
    """White noise of RMS 1 holds 1 / 24,000 of its power in each hertz: -43.8 dB."""
    noise = np.random.default_rng(3).standard_normal(20 * RATE, dtype=np.float32)
    assert spectrum_levels(noise, 0.0) == pytest.approx(np.full(18, -43.8), abs=0.3)


def test_spectrum_levels_of_a_sine():
    """A sine is found in its own band alone, with its whole power: at 1 kHz 231 Hz wide."""
    sine = np.sin(2 * np.pi * 1000 * np.arange(RATE) / RATE).astype(np.float32)
    levels = spectrum_levels(sine, 94.0)
    place = int(np.flatnonzero(BANDS_HZ == 1000)[0])
    assert levels[place] == pytest.approx(94.0 - 3.01 - 10 * np.log10(231), abs=0.02)
    assert np.delete(levels, place).max() < 0.0
