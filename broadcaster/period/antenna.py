"""The antenna: where what is sent meets the first noise, strong or weak."""

from dataclasses import dataclass

import numpy as np

from broadcaster.period.bands import BandLimit
from broadcaster.period.chance import QUANTUM, Chance, Quanta
from broadcaster.period.conditions import Conditions
from broadcaster.units import Samples

_SETTLED_S = 0.1
_SLOPE_DB = 6.0


@dataclass(frozen=True, slots=True)
class Levels:
    """How loud things are at the antenna while a sound is as its table says."""

    programme_rms: float
    """Of speech, once the studio and the transmitter have done their own to it."""
    beds_rms: float
    """Of what is heard although nobody sent it."""


class Antenna:
    """A weak signal sinks, and the noise of an empty channel rises by what it lost."""

    latency = 0

    def __init__(
        self,
        programme_rms: float,
        band_hz: tuple[float, float],
        rate: int,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        """`programme_rms`: of speech where it comes in. `band_hz`: what the receiver hears."""
        self._programme_rms = programme_rms
        self._band_hz, self._rate, self._chance = band_hz, rate, chance
        self._noise = Quanta(self._noise_quantum, QUANTUM, chance.loop)
        self._programme_gain = conditions.programme
        self._empty_channel = conditions.empty_channel

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block as strong as it is received, over noise where it is weak."""
        block *= self._programme_gain.read(frame, len(block))
        level = self._empty_channel.read(frame, len(block))
        if np.ndim(level) or level:
            block += self._noise.read(frame, len(block)) * level
        return block

    def _noise_quantum(self, number: int) -> Samples:
        """A quantum for itself, so that none is made while the signal is strong.

        The filter begins before the quantum and has settled when it begins: no seam is heard.
        """
        first = number * QUANTUM
        before = round(_SETTLED_S * self._rate)
        if self._chance.loop is None:
            before = min(before, first)
        band = BandLimit(*self._band_hz, _SLOPE_DB, self._rate)
        noise = band.process(self._chance.white(first - before, before + QUANTUM), first)
        return noise[before:] * np.float32(self._programme_rms / band.noise_rms)
