"""Chance: noise and moments that are addressed by absolute frame."""

import numpy as np
import pytest

from broadcaster.period.chance import QUANTUM, Chance
from tests.period.streams import db

LONG = 2**21


@pytest.fixture(scope="module")
def white() -> np.ndarray:
    """44 s of white noise."""
    return Chance(1, "a").white(0, LONG).astype(np.float64)


def test_white_is_gaussian_of_variance_one(white: np.ndarray) -> None:
    """Mean 0, variance 1, no skew, no excess kurtosis (five standard errors of 2^21 numbers)."""
    assert abs(white.mean()) < 5.0 / np.sqrt(LONG)
    assert abs(white.var() - 1.0) < 5.0 * np.sqrt(2.0 / LONG)
    assert abs((white**3).mean()) < 5.0 * np.sqrt(15.0 / LONG)
    assert abs((white**4).mean() - 3.0) < 5.0 * np.sqrt(96.0 / LONG)


def test_white_has_no_slope(white: np.ndarray) -> None:
    """Its spectrum is level within 0.05 dB an octave from 100 Hz to 10 kHz."""
    size = 8192
    spectrum = np.square(np.abs(np.fft.rfft(white.reshape(-1, size)))).mean(axis=0)
    hertz = np.fft.rfftfreq(size, 1.0 / 48_000.0)
    inside = (hertz >= 100.0) & (hertz <= 10_000.0)
    octaves = np.log2(hertz[inside])
    slope, _ = np.polyfit(
        octaves, 10.0 * np.log10(spectrum[inside]), 1, w=1.0 / np.sqrt(hertz[inside])
    )
    assert abs(slope) < 0.05


def test_white_is_addressed_by_frame() -> None:
    """A stretch is the same whatever was asked before it, forwards or back."""
    whole = Chance(3, "a").white(0, 5 * QUANTUM).copy()
    chance = Chance(3, "a")
    for start, frames in ((4 * QUANTUM + 5, 17), (0, 3), (QUANTUM - 2, 2 * QUANTUM + 9), (77, 0)):
        np.testing.assert_array_equal(chance.white(start, frames), whole[start : start + frames])


def test_streams_and_seeds_are_independent(white: np.ndarray) -> None:
    """Another stream, another seed and another quantum have nothing in common."""
    others = (
        Chance(1, "b").white(0, LONG),
        Chance(2, "a").white(0, LONG),
        np.roll(white, QUANTUM),
    )
    for other in others:
        assert abs((white * other).mean()) < 5.0 / np.sqrt(LONG)


def test_white_comes_again_in_a_loop() -> None:
    """In a loop of L frames, frame f is frame f modulo L, and the loop's own length is kept."""
    loop = 2 * QUANTUM + 1234
    once = Chance(1, "a").white(0, loop)
    np.testing.assert_array_equal(Chance(1, "a", loop).white(0, 3 * loop), np.tile(once, 3))


def test_impulses_are_poisson() -> None:
    """The counts of half seconds have a variance equal to their mean, and the mean is as asked."""
    moments, marks = Chance(1, "clicks").impulses(0, 48_000 * 600, 4_800.0)
    counts = np.bincount(moments // 24_000, minlength=1_200)
    assert counts.mean() == pytest.approx(5.0, rel=0.04)
    assert counts.var() / counts.mean() == pytest.approx(1.0, abs=0.1)
    assert marks.shape == (len(moments), 2)
    assert np.all(np.diff(moments) >= 0)


def test_impulses_are_addressed_by_frame() -> None:
    """Two stretches that follow each other hold what one stretch over both holds; loops too."""
    for loop in (None, 50_001):
        chance = Chance(1, "clicks", loop)
        whole, whole_marks = chance.impulses(1_000, 120_000, 900.0)
        first, first_marks = chance.impulses(1_000, 33_333, 900.0)
        rest, rest_marks = chance.impulses(34_333, 120_000 - 33_333, 900.0)
        np.testing.assert_array_equal(np.concatenate([first, rest + 33_333]), whole)
        np.testing.assert_array_equal(np.concatenate([first_marks, rest_marks]), whole_marks)


def test_level_of_the_spectrum_is_that_of_variance_one(white: np.ndarray) -> None:
    """Noise of variance 1 is 0 dB within a hundredth of a decibel."""
    assert abs(db(white.std())) < 0.01
