"""Impulsive static: its parameters can be found again in its samples."""

from functools import cache

import numpy as np
import pytest
from scipy.optimize import minimize
from scipy.special import ndtr
from scipy.stats import poisson

from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.static import Static
from broadcaster.units import Samples
from tests.period.streams import db, in_blocks, rms

RATE = 16_000
FRAMES = 4_000_000

CLASS_A = [
    # A, Gamma; 1 - exp(-A); 3 / (A (1 + Gamma)^2), from D. Middleton's density (1977)
    (0.1, 0.1, 0.09516, 24.793),
    (0.01, 0.1, 0.00995, 247.93),
    (0.35, 0.005, 0.29531, 8.486),
    (1.0, 0.1, 0.63212, 2.479),
]


def static(
    frames: int,
    index: float,
    gaussian: float,
    *,
    length_s: float = 0.0,
    band_hz: tuple[float, float] | None = None,
) -> Samples:
    """Static of RMS 0.1, alone."""
    chance = Chance(3, "static")
    processor = Static(-20.0, index, gaussian, length_s, band_hz, RATE, chance, Conditions())
    return in_blocks(processor, np.zeros(frames, np.float32))


@cache
def independent(index: float, gaussian: float) -> np.ndarray:
    """Many samples, each independent of the last, against their stated RMS."""
    return static(FRAMES, index, gaussian).astype(np.float64) / 0.1


@pytest.mark.parametrize(("index", "gaussian", "_impulsive", "excess"), CLASS_A)
def test_moments(index: float, gaussian: float, _impulsive: float, excess: float) -> None:
    """The variance is 1 within 1 %, the excess kurtosis Middleton's within 5 %."""
    samples = independent(index, gaussian)
    assert samples.var() == pytest.approx(1.0, rel=0.01)
    assert (samples**4).mean() / samples.var() ** 2 - 3.0 == pytest.approx(excess, rel=0.05)


@pytest.mark.parametrize(("index", "gaussian", "impulsive", "_excess"), CLASS_A)
def test_parameters_are_recovered(
    index: float, gaussian: float, impulsive: float, _excess: float
) -> None:
    """The likeliest A and Gamma for its samples are those that were asked for.

    P(m >= 1), which follows from A, is met within 2 %, Gamma within 3 %.
    """
    edges = np.concatenate([[0.0], np.geomspace(0.01, 60.0, 300)])
    counts, _ = np.histogram(np.abs(independent(index, gaussian)), edges)
    under_way = np.arange(40)

    def unlikelihood(logarithms: np.ndarray) -> float:
        mean, share = np.exp(logarithms)
        deviation = np.sqrt((under_way / mean + share) / (1.0 + share))
        below = ndtr(edges[:, None] / deviation) @ poisson.pmf(under_way, mean)
        return -float(counts @ np.log(np.maximum(np.diff(below), 1e-30)))

    found = minimize(unlikelihood, np.log([0.2, 0.05]), method="Nelder-Mead")
    likeliest_index, likeliest_gaussian = np.exp(found.x)
    assert 1.0 - np.exp(-likeliest_index) == pytest.approx(impulsive, rel=0.02)
    assert likeliest_gaussian == pytest.approx(gaussian, rel=0.03)


def test_impulses_last_as_long_as_stated() -> None:
    """Impulses of 4 ms set in A / 4 ms times a second, and are over after 4 ms."""
    seconds = 300
    loud = np.abs(static(seconds * RATE, 0.004, 0.0001, length_s=0.004)) > 0.1
    heard = loud.reshape(-1, 8).any(axis=1)  # no impulse is silent for half a millisecond
    begins = np.flatnonzero(heard[1:] & ~heard[:-1])
    ends = np.flatnonzero(heard[:-1] & ~heard[1:])
    assert len(begins) == pytest.approx(0.004 / 0.004 * seconds, rel=0.1)
    assert np.median(ends - begins[: len(ends)]) * 8 / RATE == pytest.approx(0.004, abs=0.0005)


def test_band_leaves_the_level() -> None:
    """Within a band its RMS is as stated, within 0.5 dB, and little is left outside."""
    bed = static(60 * RATE, 0.1, 0.1, length_s=0.001, band_hz=(500.0, 2000.0))
    power = np.square(np.abs(np.fft.rfft(bed.astype(np.float64))))
    hertz = np.fft.rfftfreq(len(bed), 1.0 / RATE)
    assert db(rms(bed) / 0.1) == pytest.approx(0.0, abs=0.5)
    assert power[(hertz > 400.0) & (hertz < 2500.0)].sum() > 0.9 * power.sum()
