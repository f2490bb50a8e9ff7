"""Phase that neither drifts nor loses precision: counted in whole parts of 2^-64 of a cycle."""

import math
from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

from broadcaster.period.chance import Chance
from broadcaster.period.curve import Curve
from broadcaster.units import Samples

Phase: TypeAlias = NDArray[np.uint64]
"""Shape (frames,), uint64: parts of 2^-64 of a cycle, whole cycles fallen away."""

PARTS = 2**64
_TABLE_BITS = 14
CYCLE = np.arange(2**_TABLE_BITS) / 2**_TABLE_BITS
"""The points of a table of one cycle: to take the one before a phase errs by -68 dB of a tone."""
_SINE = np.sin(2.0 * math.pi * CYCLE).astype(np.float32)
_COSINE = np.roll(_SINE, -(2**_TABLE_BITS // 4))
_TURN_HZ = 0.05
"""How fast what wanders turns about. Chosen by ear."""
_FINE_PARTS = 2**32


def looked_up(cycle: Samples, phase: Phase) -> Samples:
    """What a table over CYCLE says of a phase, shape (frames,)."""
    place = (phase >> np.uint64(64 - _TABLE_BITS)).view(np.int64)
    found: Samples = cycle.take(place, mode="clip")  # spares a check that cannot fail
    return found


def sine(phase: Phase) -> Samples:
    """The sine of a phase, shape (frames,), +-1."""
    return looked_up(_SINE, phase)


def cosine(phase: Phase) -> Samples:
    """The cosine of a phase, shape (frames,), +-1."""
    return looked_up(_COSINE, phase)


class Tone:
    """A steady frequency, in step with the absolute frame for as long as it is on air."""

    def __init__(self, frequency_hz: float, rate: float, loop: int | None) -> None:
        """In a loop the frequency gives way a little, so that the loop holds whole cycles."""
        cycles, per_frames = frequency_hz, rate
        if loop is not None:
            cycles, per_frames = max(1, round(frequency_hz * loop / rate)), loop
        self._step = np.uint64(round(cycles * PARTS / per_frames) % PARTS)
        self._loop = loop

    def phase(self, frame: int, frames: int) -> Phase:
        """Its phase, from 0 at frame 0 on."""
        phase = np.arange(frame, frame + frames, dtype=np.uint64)
        if self._loop is not None:
            phase %= np.uint64(self._loop)
        phase *= self._step
        return phase


class Wander:
    """A phase that strays so that the frequency does; it never strays far from where it belongs.

    The phase is a smooth Gaussian curve of the bandwidth s; the frequency is its slope, whose
    deviation is 2 pi s times that of the phase (S. O. Rice, 1944). So the mean frequency is kept
    for days, and every stretch can be had without what was before.
    """

    def __init__(self, deviation_hz: float, rate: float, chance: Chance) -> None:
        """`deviation_hz`: the standard deviation of the frequency."""
        cycles = deviation_hz / (2.0 * math.pi * _TURN_HZ)
        self._parts = Curve(chance, _TURN_HZ, rate, lambda curve: curve * (cycles * _FINE_PARTS))

    def phase(self, frame: int, frames: int) -> Phase:
        """By how much the phase strays."""
        fine = self._parts.read(frame, frames).astype(np.int64).view(np.uint64)
        return fine * np.uint64(_FINE_PARTS)
