"""Pre-emphasis and de-emphasis: treble lifted before a noisy way, and brought back behind it.

The curve is that of a resistance and a capacitance in parallel, 10 log10(1 + (2 pi f t)^2) dB for a
time constant t (Rec. ITU-R BS.450, 1: 50 or 75 microseconds). A bilinear transform of it would be
3 dB off at 15 kHz. Here the magnitude itself is fitted: with the pole at exp(-1 / (t rate)), where
the analogue one falls, what is left of |H|^2 is a smooth, even function of frequency, to which two
cosines fit by linear least squares; the half of their zeros that lies within the unit circle makes
the filter, and so its inverse is stable, too. To 15 kHz it errs by 0.014 dB at 48 kHz, to 0.4 times
a lower rate by 0.06 dB; one filter undoes the other exactly.
"""

import math

import numpy as np
from numpy.typing import NDArray

from broadcaster.period.sections import Sections
from broadcaster.units import RATE, Samples

EUROPE_S = 50e-6
"""Most of the world; Rec. ITU-R BS.450."""
AMERICA_S = 75e-6
"""The Americas and Korea; Rec. ITU-R BS.450."""

_HIGHEST_HZ = 16_000.0
_HIGHEST_OF_RATE = 0.4
"""The curve is met up to here: what an FM sound channel carries, and short of half the rate."""
_POINTS = 200


def de_emphasis_sections(time_constant_s: float, rate: int = RATE) -> NDArray[np.float64]:
    """The filter that brings treble down, as one section of second order, shape (1, 6).

    Gain 1 at 0 Hz. Within 0.1 dB of the analogue curve to 15 kHz or 0.4 times the rate.
    """
    top_hz = min(_HIGHEST_HZ, _HIGHEST_OF_RATE * rate)
    # points as Chebyshev has them, so that the error is even to both ends
    angle = (0.5 - 0.5 * np.cos(np.linspace(0.0, math.pi, _POINTS))) * (
        2.0 * math.pi * top_hz / rate
    )
    pole = math.exp(-1.0 / (time_constant_s * rate))
    wanted = (1.0 - 2.0 * pole * np.cos(angle) + pole**2) / (
        1.0 + (angle * rate * time_constant_s) ** 2
    )
    cosines = np.cos(angle[:, None] * np.arange(3))
    level, first, second = np.linalg.lstsq(cosines / wanted[:, None], np.ones(_POINTS))[0]
    zeros = np.roots([second / 2.0, first / 2.0, level, first / 2.0, second / 2.0])
    numerator = np.poly(zeros[np.abs(zeros) < 1.0]).real
    numerator *= (1.0 - pole) / numerator.sum()
    return np.array([[*numerator, 1.0, -pole, 0.0]])


def pre_emphasis_sections(time_constant_s: float, rate: int = RATE) -> NDArray[np.float64]:
    """The filter that lifts treble: exactly the inverse of de_emphasis_sections(), shape (1, 6)."""
    sections = de_emphasis_sections(time_constant_s, rate)
    inverse: NDArray[np.float64] = np.roll(sections, 3, axis=1) / sections[0, 0]
    return inverse


class _Emphasis:
    """One section of second order, in float32."""

    latency = 0

    def __init__(self, sections: NDArray[np.float64]) -> None:
        self._filter = Sections(sections)

    def process(self, block: Samples, _frame: int, /) -> Samples:
        """The block, filtered on from where the last one ended; shape (frames,), fresh."""
        return self._filter.process(block)


class PreEmphasis(_Emphasis):
    """Treble lifted. A full-scale tone of 15 kHz peaks at 4.8 (50 us) or 7.1 (75 us)."""

    def __init__(self, time_constant_s: float, rate: int = RATE) -> None:
        """`time_constant_s`: EUROPE_S or AMERICA_S, or what a tape asks for."""
        super().__init__(pre_emphasis_sections(time_constant_s, rate))


class DeEmphasis(_Emphasis):
    """Treble brought back: behind a PreEmphasis of the same time constant, what went in."""

    def __init__(self, time_constant_s: float, rate: int = RATE) -> None:
        """`time_constant_s`: as for PreEmphasis."""
        super().__init__(de_emphasis_sections(time_constant_s, rate))
