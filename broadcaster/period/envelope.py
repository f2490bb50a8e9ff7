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

_STEPS_UP = np.clip(np.arange(1 << 15) - _FIRST, 0, _COUNT - 1)
"""By a float32's upper bits: how many steps it is over the lowest octave."""
_MIDDLES = (_STEPS_UP % _STEPS + 0.5) / _STEPS
_LEVELS = np.rint((_STEPS_UP // _STEPS + np.log2(1.0 + _MIDDLES)) * _FINE).astype(np.int32)
"""By the same bits: how many parts of an octave, exact to 0.05 dB."""
_LEVELS_DB = (np.arange(_COUNT) + 0.5) / _STEPS * _DB_AN_OCTAVE + _LOWEST_OCTAVE * _DB_AN_OCTAVE


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
        self._gains: list[float] = gain(_LEVELS_DB).astype(np.float32).tolist()
        self._ramp = np.arange(self._cell, dtype=np.float32) / np.float32(self._cell)
        self._held: Samples | None = None
        """The magnitudes of the cell that is not whole yet."""
        self._risen = self._level = 0
        self._borders = [self._gains[0]] * 2
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
        peaks = magnitudes[:whole].reshape(cells, self._cell).max(axis=1)
        borders = [*self._borders, *self._followed(peaks)]
        self._borders = borders[-2:]
        ends = np.array(borders, np.float32)
        straight = (ends[1:] - ends[:-1])[:, None] * self._ramp
        straight += ends[:-1, None]
        gain: Samples = straight.ravel()[gone : gone + len(block)]
        return gain

    def _followed(self, peaks: Samples) -> list[float]:
        """The gains of levels that rise no faster than the attack, then fall as slowly as they may.

        There are few cells in a block: this is faster than the array form.
        """
        gains, risen, held = [], self._risen, self._level
        for level in _LEVELS[peaks.view(np.int32) >> _SHIFT].tolist():
            risen = min(level, risen + self._rise)
            held = max(risen, held - self._fall)
            gains.append(self._gains[held // _STEP])
        self._risen, self._level = risen, held
        return gains
