"""Smooth random curves: Gaussian, with a Gaussian spectrum, addressed by absolute frame.

White control points are weighted by a Gaussian kernel. A power spectrum exp(-f^2 / (2 s^2)), which
is also the Doppler spectrum of a path in Rec. ITU-R F.1487, has the amplitude exp(-f^2 / (4 s^2)),
whose transform is a Gaussian in time with the standard deviation 1 / (2 sqrt(2) pi s).
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from broadcaster.period.chance import Chance, Quanta
from broadcaster.units import Samples

_QUANTUM = 65_536
_CELLS_OF_SPACING = 16
"""From one control point to the next the curve has so many straight pieces at least, each of a
power of two of frames. That errs by 5e-4 of the deviation."""
_LONGEST_CELL = 256

_REACH = 5
"""How many control points either way still count; beyond, the kernel is under 4e-6."""
_FINENESS = 32
"""Points of the curve for each control point; between them it is taken as straight, which errs
by 6e-5 of the curve's deviation."""
_LAGS = np.arange(-_REACH, _REACH + 2)
_KERNEL = (
    np.exp(-0.5 * (np.arange(_FINENESS) / _FINENESS - _LAGS[:, None]) ** 2) / math.pi**0.25
)  # control points lie one deviation of the kernel apart: variance 1 within 1e-4


class Curve:
    """A Gaussian random curve of mean 0 and variance 1, bent into any shape."""

    def __init__(
        self,
        chance: Chance,
        bandwidth_hz: float,
        rate: float,
        shape: Callable[[NDArray[np.float64]], NDArray[np.float64]],
    ) -> None:
        """`bandwidth_hz`: the standard deviation s of its spectrum.

        By S. O. Rice (1945) the curve rises through its mean s times a second. `shape` is applied
        to the ends of its straight pieces. In a loop the bandwidth gives way a little, so that the
        loop holds a whole number of control points; a short loop moves as slowly as one that holds
        twelve.
        """
        spacing = rate / (2.0 * math.sqrt(2.0) * math.pi * bandwidth_hz)
        controls = None
        if chance.loop is not None:
            controls = max(len(_LAGS), round(chance.loop / spacing))
            spacing = chance.loop / controls
        self._spacing = spacing
        fitting = 2 ** max(0, math.floor(math.log2(spacing / _CELLS_OF_SPACING)))
        self.cell = math.gcd(min(fitting, _LONGEST_CELL), chance.loop or _LONGEST_CELL)
        """Frames from one point that is worked out to the next; between them it is straight."""
        self._ramp = np.arange(self.cell, dtype=np.float32) / np.float32(self.cell)
        self._controls = chance.looped(controls)
        self._shape = shape
        self._quanta = Quanta(self._quantum, _QUANTUM, chance.loop)

    def read(self, frame: int, frames: int) -> Samples:
        """A stretch of the shaped curve, shape (frames,), read only."""
        return self._quanta.read(frame, frames)

    def _quantum(self, number: int) -> Samples:
        cells = _QUANTUM // self.cell
        points = np.arange(cells + 1, dtype=np.int64) * self.cell + number * _QUANTUM
        shaped = self._shape(self._values(points / self._spacing)).astype(np.float32)
        rise = np.diff(shaped)
        straight: Samples = (shaped[:-1, None] + rise[:, None] * self._ramp).ravel()
        return straight

    def _values(self, places: NDArray[np.float64]) -> NDArray[np.float64]:
        """The curve at places counted in control points, which rise."""
        first = int(places[0])
        count = int(places[-1]) - first + 2
        noise = self._controls.white(first, count + len(_LAGS) - 1)
        near = noise[np.arange(count)[:, None] + np.arange(len(_LAGS))]
        values: NDArray[np.float64] = near @ _KERNEL
        grid = np.arange(count * _FINENESS) / _FINENESS
        found: NDArray[np.float64] = np.interp(places - first, grid, values.ravel())
        return found
