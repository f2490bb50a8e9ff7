"""The grades: what they ask for, and that they rise and fall as they must."""

import itertools

import numpy as np
import pytest

from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Heard
from broadcaster.listening.readability import Judge, critical_band_hz, grade_of_speech
from broadcaster.sound.keying import keying
from broadcaster.sound.morse import tone_of
from broadcaster.units import RATE, Samples, gain_from_db
from tests.listening.speech import speech


def stretch(item: Samples, noise: Samples) -> Heard:
    return Heard(item, item + noise, item, noise)


def white(frames: int, level_dbfs: float) -> Samples:
    noise = np.random.default_rng(11).standard_normal(frames, dtype=np.float32)
    return noise * np.float32(gain_from_db(level_dbfs))


def grade(item: Samples, noise: Samples, copied: Copied) -> float:
    return Judge([item], copied).rate([stretch(item, noise)]).unbounded


@pytest.mark.parametrize(
    ("sii", "stoi", "expected"),
    [
        *[(0.15, 1.0, 1), (0.37, 1.0, 2), (0.58, 1.0, 3), (0.78, 1.0, 4), (0.88, 1.0, 5)],
        *[(1.0, 0.46, 1), (1.0, 0.62, 2), (1.0, 0.76, 3), (1.0, 0.86, 4), (1.0, 0.93, 5)],
        *[(0.26, 0.95, 1.5), (0.95, 0.81, 3.5), (0.37, 0.46, 1)],
    ],
)
def test_the_numbers_of_the_grades(sii, stoi, expected):
    """As they are printed; between them straight; the worse of the two counts."""
    assert grade_of_speech(sii, stoi) == pytest.approx(expected)


def test_the_scale_is_monotone_and_without_a_step():
    """In either index, from end to end."""
    index = np.linspace(0.0, 1.0, 501)
    table = np.array([[grade_of_speech(sii, stoi) for stoi in index[::5]] for sii in index[::5]])
    assert np.diff(table, axis=0).min() >= 0.0
    assert np.diff(table, axis=1).min() >= 0.0
    assert max(np.diff(table, axis=0).max(), np.diff(table, axis=1).max()) < 0.15


def test_clean_speech_is_excellent_and_noise_is_bad():
    """5 without noise; 1 where the noise is some 25 dB over speech."""
    item = speech("If you see a light on the sand, leave it there.")
    assert grade(item, white(len(item), -90.0), Copied.SPEECH) >= 5.0
    rated = Judge([item], Copied.SPEECH).rate([stretch(item, white(len(item), 5.0))])
    assert rated.mean == rated.worst == 1.0
    assert rated.over_bed_db == pytest.approx(-26.0, abs=2.0)


def test_mean_and_worst():
    """One stretch in noise pulls the mean down, and is the worst."""
    item = speech("If you see a light on the sand, leave it there.")
    good, poor = stretch(item, white(len(item), -30.0)), stretch(item, white(len(item), -20.0))
    judge = Judge([item] * 3, Copied.SPEECH)
    alone = Judge([item], Copied.SPEECH).rate([poor])
    rated = judge.rate([good, poor, good])
    assert rated.worst == alone.mean < rated.mean < judge.rate([good] * 3).mean


def test_critical_bands():
    """132.6 Hz at 1 kHz: Glasberg and Moore (1990), 24.7 (4.37 + 1)."""
    assert critical_band_hz(np.array([1000.0])) == pytest.approx(132.6, abs=0.1)


@pytest.mark.parametrize(("ratio_db", "expected"), [(0, 1), (10, 2), (20, 3), (30, 4), (40, 5)])
def test_a_tone_in_noise(ratio_db, expected):
    """Rated by its power over that of the noise in its critical band."""
    tone_hz, frames = 700.0, 20 * RATE
    tone = (0.1 * np.sin(2 * np.pi * tone_hz * np.arange(frames) / RATE)).astype(np.float32)
    noise_in_band = 0.1**2 / 2 / 10 ** (ratio_db / 10)
    density = noise_in_band / critical_band_hz(np.array([tone_hz]))[0]
    noise = white(frames, 10 * np.log10(density * RATE / 2))
    assert grade(tone, noise, Copied.TONES) == pytest.approx(expected, abs=0.25)


def test_keying_does_not_count_against_a_tone():
    """Morse code at 20 words a minute is as readable as a steady tone of its level, or nearly."""
    keyed = keying("REED HERON", 20, None)
    morse = tone_of(keyed, 700.0)
    sounding = morse[np.abs(morse) > 0.0]
    noise = white(len(sounding), -30.0)
    steady = (0.1414 * np.sin(2 * np.pi * 700 * np.arange(len(sounding)) / RATE)).astype(np.float32)
    grades = [grade(each, noise, Copied.TONES) for each in (sounding, steady)]
    assert grades[0] == pytest.approx(grades[1], abs=0.6)


def test_each_note_of_a_tune_counts_by_its_own_pitch():
    """Low notes in low noise suffer, high ones do not."""
    second = np.arange(RATE) / RATE
    notes = [(0.1 * np.sin(2 * np.pi * hertz * second)).astype(np.float32) for hertz in (440, 1760)]
    tune = np.concatenate([*notes, *notes])
    low_noise = np.convolve(white(len(tune), -10.0), np.hanning(96) / 48, "same").astype(np.float32)
    alone = [grade(note, low_noise[: len(note)], Copied.TONES) for note in notes]
    assert alone[0] < alone[1]
    between = grade(tune, low_noise, Copied.TONES)
    assert between == pytest.approx(sum(alone) / 2, abs=0.3)


def test_more_noise_is_never_more_readable():
    """Speech and tones, in steps of 4 dB."""
    item = speech("If you see a light on the sand.")
    tone = (0.1 * np.sin(2 * np.pi * 700 * np.arange(len(item)) / RATE)).astype(np.float32)
    for copied, sent in ((Copied.SPEECH, item), (Copied.TONES, tone)):
        grades = [grade(sent, white(len(item), level), copied) for level in range(-60, 1, 4)]
        assert all(after <= before for before, after in itertools.pairwise(grades))
