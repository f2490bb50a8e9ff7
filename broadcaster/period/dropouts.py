"""Dropouts: spots of a worn tape from which hardly anything is read."""

import numpy as np

from broadcaster.period.chance import QUANTUM, Chance, Quanta
from broadcaster.period.conditions import Conditions
from broadcaster.units import Samples, frames_from_seconds, gain_from_db, silence

_SPREAD = 0.35
"""Depths of single dips are spread by so much of the middle one, at 1 deviation. Chosen by ear."""
_DEEPEST = 1.0


class Dropouts:
    """Dips of the level at the moments of a Poisson process, each a raised cosine.

    Where dips meet, the deeper counts. The middle dip leaves `loss_db` less.
    """

    latency = 0

    def __init__(
        self,
        loss_db: float,
        interval_s: float,
        length_s: float,
        rate: float,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        """`length_s`: of a dip, from half of what it takes to half of what it takes."""
        frames = max(2, frames_from_seconds(2.0 * length_s, rate))
        angle = (np.arange(frames) + 0.5) * (2.0 * np.pi / frames)
        self._dip = (0.5 - 0.5 * np.cos(angle)).astype(np.float32)
        self._interval_frames = interval_s * rate
        self._chance = chance
        self._taken = conditions.following(lambda rough, _: 1.0 - gain_from_db(-loss_db * rough))
        self._dips = Quanta(self._quantum, QUANTUM, chance.loop)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block, as far as the tape still holds it."""
        dips = self._dips.read(frame, len(block))
        if dips.any():
            block -= block * np.minimum(dips * self._taken.read(frame, len(block)), _DEEPEST)
        return block

    def _quantum(self, number: int) -> Samples:
        """How deep the dips are, 1 in the middle of a middle one."""
        first, tail = number * QUANTUM, len(self._dip) - 1
        if self._chance.loop is None:
            tail = min(tail, first)
        moments, marks = self._chance.impulses(first - tail, tail + QUANTUM, self._interval_frames)
        out = silence(tail + QUANTUM + len(self._dip))
        for moment, depth in zip(moments.tolist(), marks[:, 0].tolist(), strict=True):
            size = np.float32(max(0.0, 1.0 + _SPREAD * depth))
            where = out[moment : moment + len(self._dip)]
            np.maximum(where, self._dip * size, out=where)
        return out[tail : tail + QUANTUM]
