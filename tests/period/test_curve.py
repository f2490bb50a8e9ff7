"""The smooth random curve: Gaussian in value, in spectrum and in time."""

import numpy as np
import pytest

from broadcaster.period.chance import Chance
from broadcaster.period.curve import Curve
from broadcaster.units import RATE

CELL = 16
"""Frames between the points at which it is looked at."""
FADES = 2_500
"""Statistics of a fading path need some 2,000 independent fades."""


def curve(bandwidth_hz: float, loop: int | None = None, seed: int = 5) -> Curve:
    """A curve without any shape."""
    return Curve(Chance(seed, "curve", loop), bandwidth_hz, RATE, lambda values: values)


def points(bandwidth_hz: float) -> np.ndarray:
    """The curve at its own points, FADES fades long."""
    cells = round(FADES / bandwidth_hz * RATE / CELL)
    return curve(bandwidth_hz).read(0, cells * CELL)[::CELL].astype(np.float64)


@pytest.fixture(scope="module")
def long_curve() -> np.ndarray:
    """FADES fades at 15 Hz, the fastest of Rec. ITU-R F.1487."""
    return points(15.0)


def test_variance_is_one(long_curve: np.ndarray) -> None:
    """Mean 0, variance 1, no excess kurtosis."""
    assert long_curve.mean() == pytest.approx(0.0, abs=0.05)
    assert long_curve.var() == pytest.approx(1.0, abs=0.05)
    assert (long_curve**4).mean() / long_curve.var() ** 2 == pytest.approx(3.0, abs=0.2)


@pytest.mark.parametrize(
    ("spread_delay", "expected"), [(0.1, 0.8209), (0.2, 0.4540), (0.3, 0.1692)]
)
def test_autocorrelation_is_gaussian(
    long_curve: np.ndarray, spread_delay: float, expected: float
) -> None:
    """exp(-2 (pi s t)^2), as a Gaussian Doppler spectrum has it (Rec. ITU-R F.1487)."""
    lag = round(spread_delay / 15.0 * RATE / CELL)
    measured = (long_curve[:-lag] * long_curve[lag:]).mean() / long_curve.var()
    assert measured == pytest.approx(expected, abs=0.02)


def test_spectrum_has_the_spread_that_was_asked(long_curve: np.ndarray) -> None:
    """The root of the spectrum's second moment is the bandwidth, within 2 %."""
    power = np.square(np.abs(np.fft.rfft(long_curve)))
    hertz = np.fft.rfftfreq(len(long_curve), CELL / RATE)
    near = hertz < 90.0
    spread = np.sqrt((power * hertz**2)[near].sum() / power[near].sum())
    assert spread == pytest.approx(15.0, rel=0.02)


def test_spectrum_falls_as_a_gaussian(long_curve: np.ndarray) -> None:
    """At 1, 2 and 3 deviations the power is 2.2, 8.7 and 19.5 dB under that at the middle."""
    size = 2048
    blocks = long_curve[: len(long_curve) // size * size].reshape(-1, size) * np.hanning(size)
    power = np.square(np.abs(np.fft.rfft(blocks))).mean(axis=0)
    hertz = np.fft.rfftfreq(size, CELL / RATE)
    middle = power[(hertz > 1.5) & (hertz < 4.5)].mean() * np.exp(3.0**2 / (2.0 * 15.0**2))
    for deviations in (1.0, 2.0, 3.0):
        near = np.abs(hertz - 15.0 * deviations) < 1.6
        fall = -10.0 * np.log10(power[near].mean() / middle)
        assert fall == pytest.approx(10.0 * np.log10(np.exp(deviations**2 / 2.0)), abs=0.7)


def test_it_rises_through_its_mean_as_often_as_its_bandwidth_says(long_curve: np.ndarray) -> None:
    """S. O. Rice: a Gaussian process crosses its mean upwards at the rate of its RMS frequency."""
    rises = np.count_nonzero((long_curve[:-1] < 0.0) & (long_curve[1:] >= 0.0))
    assert rises / FADES == pytest.approx(1.0, rel=0.06)


def test_slow_and_fast_curves_have_the_same_variance() -> None:
    """The rate changes nothing else: a curve a hundred times slower, seen as long in fades."""
    cells = 40 * RATE // CELL
    slow = np.concatenate(
        [curve(0.5, seed=seed).read(0, cells * CELL)[::CELL] for seed in range(50)]
    )
    assert slow.var() == pytest.approx(1.0, abs=0.08)


@pytest.mark.parametrize(
    ("bandwidth_hz", "loop"), [(3.0, 100_003), (0.05, 100_003), (12.0, 48_001)]
)
def test_loop_has_no_seam(bandwidth_hz: float, loop: int) -> None:
    """In a loop the curve comes again exactly, and steps no more at the wrap than elsewhere."""
    looped = curve(bandwidth_hz, loop).read(0, 2 * loop + 100)
    np.testing.assert_array_equal(looped[loop : 2 * loop], looped[:loop])
    steps = np.abs(np.diff(looped))
    assert steps[loop - 1] <= steps[: loop - 1].max()


def test_short_loop_still_moves() -> None:
    """A loop far shorter than one fade has its own fades instead of standing still."""
    assert np.ptp(curve(0.01, 2 * RATE).read(0, 2 * RATE)) > 1.0


def test_it_is_smooth() -> None:
    """Two frames that follow each other never differ by more than the spectrum allows."""
    values = curve(5.0).read(0, 60 * RATE)
    largest_slope = 2.0 * np.pi * 5.0 / RATE  # the deviation of the slope, a frame
    assert np.abs(np.diff(values)).max() < 6.0 * largest_slope
