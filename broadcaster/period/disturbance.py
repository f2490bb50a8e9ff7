"""A burst of static: what is heard where an operator's jump cuts an item off."""

from dataclasses import dataclass
from typing import Self

import numpy as np

from broadcaster.period.bands import BandLimit
from broadcaster.period.chance import Chance
from broadcaster.units import RATE, Samples, frames_from_seconds, gain_from_db

_BAND_HZ = (300.0, 4000.0)
_LEVEL_DBFS = -14.0
_DUCKED = 1.0 - gain_from_db(-20.0)
_EDGE_FRAMES = frames_from_seconds(0.03)
"""Band, level, how far the programme sinks, and the time that both take: chosen by ear."""


@dataclass(frozen=True, slots=True)
class Burst:
    """Static that comes up over a sinking programme, from frame `start` on."""

    start: int
    programme_gain: Samples
    static: Samples

    @classmethod
    def of(cls, start: int, frames: int, chance: Chance) -> Self:
        """A burst of so many frames, its edges raised cosines within them."""
        up = np.arange(frames, dtype=np.float64) + 0.5
        edge = np.minimum(up, up[::-1]) / min(_EDGE_FRAMES, max(1, frames // 2))
        presence = 0.5 - 0.5 * np.cos(np.pi * np.minimum(edge, 1.0))
        band = BandLimit(*_BAND_HZ, 12.0, RATE)
        static = band.process(chance.white(start, frames), start)
        static *= (presence * (gain_from_db(_LEVEL_DBFS) / band.noise_rms)).astype(np.float32)
        return cls(start, (1.0 - _DUCKED * presence).astype(np.float32), static)

    @property
    def stop(self) -> int:
        """The first frame after it."""
        return self.start + len(self.static)

    def add_to(self, block: Samples, frame: int) -> None:
        """Disturb a block that begins at `frame`, in place, where the burst lies over it."""
        first, last = max(frame, self.start), min(frame + len(block), self.stop)
        if first < last:
            disturbed = block[first - frame : last - frame]
            disturbed *= self.programme_gain[first - self.start : last - self.start]
            disturbed += self.static[first - self.start : last - self.start]
