"""A heterodyne whistle: another carrier nearby beats with ours."""

import math

import numpy as np

from broadcaster.period.beds import Bed
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.curve import Curve
from broadcaster.period.oscillator import Tone, Wander, sine
from broadcaster.units import Samples, gain_from_db

_SWELL_HZ = 0.08
"""How often a second the level swells. Chosen by ear."""


class Whistle:
    """A tone whose pitch and level stray slowly; its mean power is as stated, and its mean pitch.

    The deviation of the level in decibels is normal, that of the pitch too.
    """

    latency = 0

    def __init__(
        self,
        level_dbfs: float,
        pitch_hz: float,
        wander_hz: float,
        swell_db: float,
        rate: float,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        """`level_dbfs`: RMS. `wander_hz`, `swell_db`: standard deviations of pitch and level."""
        nepers = swell_db * math.log(10.0) / 20.0
        peak = math.sqrt(2.0) * gain_from_db(level_dbfs) * math.exp(-(nepers**2))
        self._tone = Tone(pitch_hz, rate, chance.loop)
        self._wander = Wander(wander_hz, rate, chance.part("pitch"))
        self._level = Curve(
            chance.part("level"), _SWELL_HZ, rate, lambda curve: peak * np.exp(nepers * curve)
        )
        self._bed = Bed(self._whistle, conditions.beds)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block under its whistle."""
        self._bed.add_to(block, frame)
        return block

    def _whistle(self, frame: int, frames: int) -> Samples:
        phase = self._tone.phase(frame, frames)
        phase += self._wander.phase(frame, frames)
        return sine(phase) * self._level.read(frame, frames)
