"""Look-ahead limiters: what comes out never exceeds a ceiling, neither itself nor as deviation.

Any cutting of the stream into blocks gives the same samples.
"""

import numpy as np
from numpy.typing import NDArray
from scipy.signal import sosfilt

from broadcaster.period.emphasis import de_emphasis_sections, pre_emphasis_sections
from broadcaster.transmitter.between import AFTER, BEFORE, points_between, points_over
from broadcaster.transmitter.gain import AHEAD_FRAMES, CELL, LookAheadGain
from broadcaster.units import Samples, gain_from_db, silence

_RECOVERY_S = 0.4
"""The time in which the whole would come back from nothing. Chosen by its figures, by no ear."""
_TREBLE_RECOVERY_S = 0.1
"""The same for the treble of a sibilant, so that the vowel behind it is clear again. Likewise."""
_PRE_EMPHASIS_FRAMES, _DE_EMPHASIS_FRAMES = 10, 64
"""So much of the impulse responses counts; what lies beyond is under 1e-6 and 2e-8 of it."""


class _GainOfCells:
    """What each frame allows, turned into a gain that moves smoothly, AHEAD_FRAMES later."""

    def __init__(self, recovery_s: float) -> None:
        self._gain = LookAheadGain(recovery_s)
        self._rest = np.ones(0, np.float32)
        """What the frames of a cell that is not whole yet allow."""

    def process(self, allowed: NDArray[np.float32]) -> Samples | None:
        """The gain of the frames of AHEAD_FRAMES before; None where it is 1 throughout."""
        gone = len(self._rest)
        known = np.concatenate([self._rest, allowed])
        cells = len(known) // CELL
        self._rest = known[cells * CELL :]
        gain = self._gain.over(known[: cells * CELL].reshape(cells, CELL).min(axis=1))
        return None if gain is None else gain[gone : gone + len(allowed)]


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
        gain = self._gain.process(self._allowed(held[AHEAD_FRAMES:]))
        delayed = held[BEFORE : BEFORE + len(block)]
        return delayed.copy() if gain is None else delayed * gain

    def _allowed(self, samples: Samples) -> NDArray[np.float32]:
        """The largest gain that each frame can bear."""
        allowed = np.ones(len(samples) - BEFORE - AFTER, np.float32)
        found = points_over(samples, self._ceiling)
        if found is not None:
            points, over = found
            peaks = np.where(over, np.abs(points), self._ceiling).max(axis=0)
            allowed = self._ceiling / peaks
        return allowed


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
        self._pre_emphasis = _response(pre_emphasis_sections(time_constant_s), _PRE_EMPHASIS_FRAMES)
        self._de_emphasis = _response(de_emphasis_sections(time_constant_s), _DE_EMPHASIS_FRAMES)
        self._gain = _GainOfCells(_TREBLE_RECOVERY_S)
        self._programme = silence(_HELD)
        self._deviation = silence(_HELD)
        self._removed = silence(_DE_EMPHASIS_FRAMES - 1)

    def process(self, block: Samples, _frame: int, /) -> Samples:
        """The block of `latency` frames before, fit to be lifted: shape (frames,), fresh."""
        programme = np.concatenate([self._programme, block])
        known = programme[_HELD - _PRE_EMPHASIS_FRAMES + 1 :]
        lifted = np.convolve(known, self._pre_emphasis, "valid")
        deviation = np.concatenate([self._deviation, lifted])
        self._programme, self._deviation = programme[len(block) :], deviation[len(block) :]
        gain = self._gain.process(self._allowed(programme[AHEAD_FRAMES:], deviation[AHEAD_FRAMES:]))
        now = slice(BEFORE, BEFORE + len(block))
        if gain is None and not self._removed.any():
            return programme[now].copy()
        removed = silence(len(block))
        if gain is not None:
            removed = (np.float32(1.0) - gain) * (deviation[now] - programme[now])
        return programme[now] - self._de_emphasised(removed)

    def _allowed(self, programme: Samples, deviation: Samples) -> NDArray[np.float32]:
        """The largest share of what pre-emphasis adds that each frame can bear, 0 to 1."""
        allowed = np.ones(len(programme) - BEFORE - AFTER, np.float32)
        found = points_over(deviation, self._ceiling)
        if found is not None:
            points, over = found
            lifted = points[over]
            plain = points_between(programme)[over]
            room = np.copysign(self._ceiling, lifted) - plain
            shares = np.ones(over.shape, np.float32)
            shares[over] = np.clip(room / (lifted - plain), 0.0, 1.0)
            allowed = shares.min(axis=0)
        return allowed

    def _de_emphasised(self, removed: Samples) -> Samples:
        known = np.concatenate([self._removed, removed])
        self._removed = known[len(removed) :]
        out = silence(len(removed))
        heard = np.flatnonzero(known)
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
