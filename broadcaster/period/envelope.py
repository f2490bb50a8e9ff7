"""How loud the programme is at the moment, and a gain that follows from it.

The peak of each cell of a few milliseconds becomes a level in whole numbers, so that running
minima and maxima are exact; the gain is looked up for each border between cells and is straight
between them. So any cutting of the stream into blocks gives the same gain.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from broadcaster.units import Samples, frames_from_seconds, silence

CELL_S = 0.008
"""Longer than from one pulse of a voice to the next (125 Hz), so that these do not count."""
_FOLLOWED_DB = 20.0
"""Attack and recovery are times for so much."""

_STEPS = 128
"""Steps of a level in an octave of amplitude: 0.047 dB. They are the upper bits of a float32."""
_LOWEST_OCTAVE, _HIGHEST_OCTAVE = -24, 3
_SHIFT = 16
_FIRST = (127 + _LOWEST_OCTAVE) * _STEPS
_COUNT = (_HIGHEST_OCTAVE - _LOWEST_OCTAVE) * _STEPS
_FINE = 1 << 16
"""Parts of an octave in which levels are counted."""
_STEP = _FINE // _STEPS
_DB_AN_OCTAVE = 20.0 * np.log10(2.0)

_MIDDLES = (np.arange(_COUNT) % _STEPS + 0.5) / _STEPS
_LEVELS: NDArray[np.int64] = np.rint(
    (np.arange(_COUNT) // _STEPS + np.log2(1.0 + _MIDDLES)) * _FINE
).astype(np.int64)
"""The level of each step of a float32's upper bits, counted from the lowest octave."""
_LEVELS_DB = (np.arange(_COUNT) + 0.5) / _STEPS * _DB_AN_OCTAVE + _LOWEST_OCTAVE * _DB_AN_OCTAVE


def _levels(peaks: Samples) -> NDArray[np.int64]:
    """The level of each peak in parts of an octave over the lowest one, exact to 0.05 dB."""
    steps = (peaks.view(np.int32) >> _SHIFT) - _FIRST
    levels: NDArray[np.int64] = _LEVELS[np.clip(steps, 0, _COUNT - 1)]
    return levels


class EnvelopeGain:
    """A gain that follows the peak level of the stream, one to two cells later."""

    def __init__(
        self,
        attack_s: float,
        recovery_s: float,
        rate: float,
        gain: Callable[[NDArray[np.float64]], NDArray[np.float64]],
    ) -> None:
        """`attack_s`, `recovery_s`: times in which a rise or a fall of 20 dB is followed.

        `gain`: what becomes of peak levels in dB against full scale, any shape, rising order.
        """
        self._cell = frames_from_seconds(CELL_S, rate)
        cells_of_20_db = _FOLLOWED_DB / _DB_AN_OCTAVE * _FINE * CELL_S
        self._rise = max(1, round(cells_of_20_db / attack_s))
        self._fall = max(1, round(cells_of_20_db / recovery_s))
        self._gains = gain(_LEVELS_DB).astype(np.float32)
        self._ramp = np.arange(self._cell, dtype=np.float32) / np.float32(self._cell)
        self._held: Samples | None = None
        """The magnitudes of the cell that is not whole yet."""
        self._risen = self._level = 0
        self._borders = np.full(2, self._gains[0])
        """The gain at both ends of the cell that is not whole yet."""

    def read(self, block: Samples, frame: int) -> Samples:
        """The gain of each frame of a block, shape (frames,), fresh.

        The block is looked at only. Cells are counted from frame 0 of the stream.
        """
        if self._held is None:
            self._held = silence(frame % self._cell)
        gone = len(self._held)
        magnitudes = np.concatenate([self._held, np.abs(block)])
        cells = len(magnitudes) // self._cell
        whole = cells * self._cell
        self._held = magnitudes[whole:]
        borders = self._borders
        if cells:
            peaks = magnitudes[:whole].reshape(cells, self._cell).max(axis=1)
            gains = self._gains[self._followed(_levels(peaks)) // _STEP]
            borders = np.concatenate([borders, gains])
            self._borders = borders[-2:]
        rise = np.diff(borders)
        straight: Samples = (borders[:-1, None] + rise[:, None] * self._ramp).ravel()
        return straight[gone : gone + len(block)]

    def _followed(self, levels: NDArray[np.int64]) -> NDArray[np.int64]:
        """Levels that rise no faster than the attack, then fall no faster than the recovery."""
        cells = np.arange(1, len(levels) + 1, dtype=np.int64)
        risen = np.minimum.accumulate(levels - cells * self._rise)
        risen = np.minimum(risen, self._risen) + cells * self._rise
        followed: NDArray[np.int64] = np.maximum.accumulate(risen + cells * self._fall)
        followed = np.maximum(followed, self._level) - cells * self._fall
        self._risen, self._level = int(risen[-1]), int(followed[-1])
        return followed
