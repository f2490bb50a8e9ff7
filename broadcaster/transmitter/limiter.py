"""Look-ahead limiters: what comes out never exceeds a ceiling, neither itself nor as deviation.

Any cutting of the stream into blocks gives the same samples.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray
from scipy.signal import sosfilt

from broadcaster.period.emphasis import de_emphasis_sections, pre_emphasis_sections
from broadcaster.transmitter.between import AFTER, BEFORE, points_at, points_over
from broadcaster.transmitter.gain import AHEAD_FRAMES, CELL, LookAheadGain
from broadcaster.units import Samples, gain_from_db, silence

_RECOVERY_S = 0.4
"""The time in which the whole would come back from nothing. Chosen by its figures, by no ear."""
_TREBLE_RECOVERY_S = 0.1
"""The same for the treble of a sibilant, so that the vowel behind it is clear again. Likewise."""
_PRE_EMPHASIS_FRAMES, _DE_EMPHASIS_FRAMES = 10, 64
"""So much of the impulse responses counts; what lies beyond is under 1e-6 and 2e-8 of it."""

Bounds: TypeAlias = tuple[NDArray[np.intp], NDArray[np.float32]]
"""Some frames of a block, and the largest gain that each can bear, 0 to 1; all others bear 1."""


class _GainOfCells:
    """What frames allow, turned into a gain that moves smoothly, AHEAD_FRAMES later."""

    def __init__(self, recovery_s: float) -> None:
        self._gain = LookAheadGain(recovery_s)
        self._begun, self._least = 0, np.float32(1.0)
        """The frames of the cell that is not whole yet, and what they allow."""

    def process(self, frames: int, bounds: Bounds | None) -> Samples | None:
        """The gain of the frames of AHEAD_FRAMES before; None where it is 1 throughout."""
        gone = self._begun
        cells, self._begun = divmod(gone + frames, CELL)
        if bounds is None and self._least == 1.0 and self._gain.rests:
            return None
        least = np.ones(cells + 1, np.float32)
        least[0] = self._least
        if bounds is not None:
            places, allowed = bounds
            np.minimum.at(least, (gone + places) // CELL, allowed)
        self._least = least[-1]
        return self._gain.over(least[:-1])[gone : gone + frames]


_HELD = AHEAD_FRAMES + BEFORE + AFTER
"""Frames that are kept from block to block: those whose gain is not known yet, and before and
after them what the curve needs."""


class Limiter:
    """Keeps the curve through the samples under the ceiling, ahead of each peak.

    What stays under it passes untouched, `latency` frames (5.4 ms) late.
    """

    latency = AHEAD_FRAMES + AFTER

    def __init__(self, ceiling_dbfs: float) -> None:
        self._ceiling = np.float32(gain_from_db(ceiling_dbfs) * (1.0 - 2.0**-20))  # for rounding
        self._gain = _GainOfCells(_RECOVERY_S)
        self._held = silence(_HELD)

    def process(self, block: Samples, _frame: int, /) -> Samples:
        """The block of `latency` frames before, under the ceiling: shape (frames,), fresh."""
        held = np.concatenate([self._held, block])
        self._held = held[len(block) :]
        gain = self._gain.process(len(block), self._bounds(held[AHEAD_FRAMES:]))
        delayed = held[BEFORE : BEFORE + len(block)]
        return delayed.copy() if gain is None else delayed * gain

    def _bounds(self, samples: Samples) -> Bounds | None:
        found = points_over(samples, self._ceiling)
        if found is None:
            return None
        places, points = found
        return places, self._ceiling / np.abs(points).max(axis=0)


class DeviationLimiter:
    """Keeps what a transmitter with pre-emphasis would deviate under the ceiling.

    Only what pre-emphasis adds is turned down: the low sounds keep their level under a sibilant,
    and a bed does not pump. With x the programme, d what pre-emphasis adds to it and g the gain,
    x + g d is what deviates; de-emphasis, which undoes pre-emphasis, makes of it
    x - de((1 - g) d), and that goes out. Its impulse response is positive throughout with the sum
    1, so what goes out stays under the ceiling, too.

    What comes in must be under the ceiling itself; then every smaller gain than one that fits does
    so, too. What would not deviate too far passes untouched, `latency` frames (5.4 ms) late.
    """

    latency = AHEAD_FRAMES + AFTER

    def __init__(self, ceiling_dbfs: float, time_constant_s: float) -> None:
        """`time_constant_s`: 50e-6 or 75e-6 (Rec. ITU-R BS.450)."""
        self._ceiling = np.float32(gain_from_db(ceiling_dbfs) * (1.0 - 2.0**-16))  # for rounding
        response = _response(pre_emphasis_sections(time_constant_s), _PRE_EMPHASIS_FRAMES)
        self._pre_emphasis = response[::-1].copy()
        self._de_emphasis = _response(de_emphasis_sections(time_constant_s), _DE_EMPHASIS_FRAMES)
        self._gain = _GainOfCells(_TREBLE_RECOVERY_S)
        self._held = silence(_PRE_EMPHASIS_FRAMES - 1 + _HELD)
        self._removed = silence(_DE_EMPHASIS_FRAMES - 1)

    def process(self, block: Samples, _frame: int, /) -> Samples:
        """The block of `latency` frames before, fit to be lifted: shape (frames,), fresh."""
        held = np.concatenate([self._held, block])
        self._held = held[len(block) :]
        programme = held[_PRE_EMPHASIS_FRAMES - 1 :]
        deviation = np.correlate(held, self._pre_emphasis)
        bounds = self._bounds(programme[AHEAD_FRAMES:], deviation[AHEAD_FRAMES:])
        gain = self._gain.process(len(block), bounds)
        now = slice(BEFORE, BEFORE + len(block))
        if gain is None and not self._removed.any():
            return programme[now].copy()
        removed = silence(len(block))
        if gain is not None:
            removed = (np.float32(1.0) - gain) * (deviation[now] - programme[now])
        return programme[now] - self._de_emphasised(removed)

    def _bounds(self, programme: Samples, deviation: Samples) -> Bounds | None:
        """How much of what pre-emphasis adds some frames can bear."""
        found = points_over(deviation, self._ceiling)
        if found is None:
            return None
        places, lifted = found
        plain = points_at(programme, places)
        room = np.copysign(self._ceiling, lifted) - plain
        shares = np.ones_like(lifted)
        np.divide(room, lifted - plain, out=shares, where=np.abs(lifted) > self._ceiling)
        return places, np.clip(shares, 0.0, 1.0).min(axis=0)

    def _de_emphasised(self, removed: Samples) -> Samples:
        known = np.concatenate([self._removed, removed])
        self._removed = known[len(removed) :]
        out = silence(len(removed))
        heard = np.flatnonzero(known != 0.0)  # far faster than of the numbers
        if len(heard):
            before = _DE_EMPHASIS_FRAMES - 1
            first, last = max(0, heard[0] - before), heard[-1] + 1 + before
            part = np.convolve(known[first:last], self._de_emphasis, "valid")
            out[first : first + len(part)] = part
        return out


def _response(sections: NDArray[np.float64], frames: int) -> Samples:
    """The beginning of a filter's impulse response, shape (frames,)."""
    impulse = np.zeros(frames)
    impulse[0] = 1.0
    response: Samples = sosfilt(sections, impulse).astype(np.float32)
    return response
