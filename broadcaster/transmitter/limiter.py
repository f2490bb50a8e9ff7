"""A look-ahead peak limiter: what comes out never exceeds its ceiling.

The gain is worked out once for each cell of a few frames, in whole numbers, so that running
minima and sums are exact and any cutting of the stream into blocks gives the same gain.
"""

import numpy as np
from numpy.typing import NDArray

from broadcaster.units import RATE, Samples, gain_from_db, silence

CELL = 32
"""Frames that share one look at the peak: 0.67 ms."""
_AHEAD = 7
"""Cells over which the gain moves to where a peak needs it: 4.7 ms."""
_BOX = 4
"""Two running means of so many cells smooth the gain; together they span _AHEAD cells."""
_UNITY = 1 << 20
"""The gain of 1 in whole numbers; a sum of _BOX^2 of them is exact in float32."""
_RECOVERY_S = 0.4
"""The time in which the gain would rise from 0 to 1. Chosen by ear."""
_RISE = round(_UNITY * CELL / (_RECOVERY_S * RATE))
_HISTORY = 2 * _AHEAD + 1
_RAMP = np.arange(CELL, dtype=np.float32) / np.float32(CELL)


class Limiter:
    """Keeps |sample| <= ceiling by a gain that moves smoothly, ahead of each peak.

    What stays under the ceiling passes untouched, `latency` frames (5.3 ms) late.
    """

    latency = (_AHEAD + 1) * CELL

    def __init__(self, ceiling_dbfs: float) -> None:
        self._ceiling = np.float32(gain_from_db(ceiling_dbfs) * (1.0 - 2.0**-20))  # for rounding
        self._held = silence(self.latency)
        """The frames that have not gone out yet, from the first frame of a cell on, and before
        them those of the same cell that have."""
        self._needed = np.full(_HISTORY, _UNITY, dtype=np.int64)
        """The gain that each of the last whole cells allows, in parts of _UNITY."""

    def process(self, block: Samples, _frame: int, /) -> Samples:
        """The block of `latency` frames before, under the ceiling: shape (frames,), fresh."""
        held = np.concatenate([self._held, block])
        gone = len(self._held) - self.latency
        cells = (gone + len(block)) // CELL
        self._take_in(held[self.latency : self.latency + cells * CELL])
        gain = self._gain()[gone : gone + len(block)]
        self._needed = self._needed[-_HISTORY:]
        self._held = held[cells * CELL :]
        gain *= held[gone : gone + len(block)]
        return gain

    def _take_in(self, frames: Samples) -> None:
        """Look at whole cells: a peak lowers the gain at once, then it rises at its own pace."""
        peaks = _cell_peaks(frames)
        allowed = self._ceiling / np.maximum(peaks, self._ceiling) * np.float32(_UNITY)
        risen = np.arange(len(peaks) + 1, dtype=np.int64) * _RISE
        fallen = np.concatenate([self._needed[-1:], allowed.astype(np.int64)]) - risen
        needed = np.minimum.accumulate(fallen) + risen
        self._needed = np.concatenate([self._needed, needed[1:]])

    def _gain(self) -> Samples:
        """The gain of each frame from the oldest cell that is still held on.

        At a cell's border it is a mean of minima, each of which spans the cells on both sides of
        the border; so it is no more than either of them allows. Between borders it is straight.
        """
        gain = self._needed
        for shift in (1, 2, 4):  # minima of _AHEAD + 1 cells
            gain = np.minimum(gain[:-shift], gain[shift:])
        for shift in (1, 2, 1, 2):  # two running sums of _BOX cells
            gain = gain[:-shift] + gain[shift:]
        borders = gain.astype(np.float32) * np.float32(1.0 / (_BOX * _BOX * _UNITY))
        rise = np.diff(borders)
        straight: Samples = borders[:-1, None] + rise[:, None] * _RAMP
        return straight.ravel()


def _cell_peaks(frames: Samples) -> NDArray[np.float32]:
    """The largest magnitude in each cell."""
    peaks = np.abs(frames)
    shift = 1
    while shift < CELL and len(peaks):
        peaks = np.maximum(peaks[:-shift], peaks[shift:])
        shift *= 2
    return peaks[::CELL]
