"""A gain that moves smoothly to where it is needed, ahead of time.

It is worked out once for each cell of a few frames, in whole numbers, so that running minima and
sums are exact and any cutting of the stream into blocks gives the same gain.
"""

import numpy as np
from numpy.typing import NDArray

from broadcaster.units import RATE, Samples

CELL = 32
"""Frames that share one gain: 0.67 ms."""
_AHEAD = 7
"""Cells over which the gain moves to where it is needed: 4.7 ms."""
_BOX = 4
"""Two running means of so many cells smooth the gain; together they span _AHEAD cells."""
_UNITY = 1 << 20
"""The gain of 1 in whole numbers; a sum of _BOX^2 of them is exact in float32."""
_HISTORY = 2 * _AHEAD + 1
_RAMP = np.arange(CELL, dtype=np.float32) / np.float32(CELL)

AHEAD_FRAMES = (_AHEAD + 1) * CELL
"""Frames that must be seen before the gain of the first of them is known."""


class LookAheadGain:
    """At most what each cell allows; it falls ahead of where it must, and rises at its own pace."""

    def __init__(self, recovery_s: float) -> None:
        """`recovery_s`: the time in which it would rise from 0 to 1."""
        self._rise = round(_UNITY * CELL / (recovery_s * RATE))
        self._needed = np.full(_HISTORY, _UNITY, dtype=np.int64)
        """The gain that each of the last whole cells allows, in parts of _UNITY."""
        self.rests = True
        """Whether each of them allows a gain of 1."""

    def over(self, allowed: NDArray[np.float32]) -> Samples:
        """The gain of AHEAD_FRAMES before the end of these cells, and of as many cells more.

        `allowed`: the largest gain, 0 to 1, for each of the next cells, shape (cells,). Gives
        shape (AHEAD_FRAMES + cells * CELL,), which begins AHEAD_FRAMES before the first of these
        cells. While it `rests`, cells that allow 1 may be left out.
        """
        whole = (allowed * np.float32(_UNITY)).astype(np.int64)
        known = self._needed
        risen = np.arange(len(whole) + 1, dtype=np.int64) * self._rise
        fallen = np.concatenate([known[-1:], whole]) - risen
        needed = np.minimum.accumulate(fallen) + risen
        known = np.concatenate([known, needed[1:]])
        self._needed = known[-_HISTORY:]
        self.rests = bool(self._needed.min() == _UNITY)
        return _smooth(known)


def _smooth(needed: NDArray[np.int64]) -> Samples:
    """The gain of each frame, from the oldest cell whose surroundings are known on.

    At a cell's border it is a mean of minima, each of which spans the cells on both sides of the
    border; so it is no more than either of them allows. Between borders it is straight.
    """
    gain = needed
    for shift in (1, 2, 4):  # minima of _AHEAD + 1 cells
        gain = np.minimum(gain[:-shift], gain[shift:])
    for shift in (1, 2, 1, 2):  # two running sums of _BOX cells
        gain = gain[:-shift] + gain[shift:]
    borders = gain.astype(np.float32) * np.float32(1.0 / (_BOX * _BOX * _UNITY))
    straight: Samples = borders[:-1, None] + np.diff(borders)[:, None] * _RAMP
    return straight.ravel()
