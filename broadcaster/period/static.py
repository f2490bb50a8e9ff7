"""Impulsive static: lightning near and far, and every spark on the way."""

import numpy as np

from broadcaster.period.bands import BandLimit
from broadcaster.period.beds import Bed
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.units import Samples, frames_from_seconds, gain_from_db

_SLOPE_DB = 12.0
_MOST = 64
"""Impulses under way at once; more are not told apart."""


class Static:
    """Noise of class A after D. Middleton (IEEE Trans. Electromagn. Compat. EMC-19, 1977).

    Impulses set in at the moments of a Poisson process, and each lasts equally long; so how many
    are under way at a moment has a Poisson distribution of the mean A, and with m of them under way
    the noise is normal with the variance (m / A + Gamma) / (1 + Gamma). Its excess kurtosis is
    3 / (A (1 + Gamma)^2).
    """

    latency = 0

    def __init__(
        self,
        level_dbfs: float,
        index: float,
        gaussian: float,
        length_s: float,
        band_hz: tuple[float, float] | None,
        rate: float,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        """`level_dbfs`: RMS. `index`: A. `gaussian`: Gamma. `band_hz`: None for white noise.

        A band leaves the RMS, and smears impulses that are shorter than it can follow.
        """
        variance = (np.arange(_MOST) / index + gaussian) / (1.0 + gaussian)
        self._index = index
        self._length = max(1, frames_from_seconds(length_s, rate))
        self._band = BandLimit(*band_hz, _SLOPE_DB, rate) if band_hz else None
        gain = gain_from_db(level_dbfs) / (self._band.noise_rms if self._band else 1.0)
        self._deviation = (gain * np.sqrt(variance)).astype(np.float32)
        """Of the noise, by how many impulses are under way."""
        self._chance = chance
        self._bed = Bed(self._static, conditions.beds)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block under its static."""
        self._bed.add_to(block, frame)
        return block

    def _static(self, frame: int, frames: int) -> Samples:
        noise = self._chance.white(frame, frames) * self._deviations(frame, frames)
        return self._band.process(noise, frame) if self._band else noise

    def _deviations(self, frame: int, frames: int) -> Samples:
        """The deviation of the noise at each frame: it changes where an impulse begins or ends."""
        before = self._length - 1
        if self._chance.loop is None:
            before = min(before, frame)
        moments, _ = self._chance.impulses(
            frame - before, before + frames, self._length / self._index
        )
        begins = moments - before
        changes = np.concatenate([[0], begins, begins + self._length, [frames]])
        np.maximum(changes, 0, out=changes)
        np.minimum(changes, frames, out=changes)
        order = np.argsort(changes, kind="stable")
        steps = np.zeros(len(changes), np.int64)
        steps[1 : 1 + len(begins)] = 1
        steps[1 + len(begins) : -1] = -1
        under_way = np.cumsum(steps[order])[:-1]
        places = changes[order]
        return np.repeat(self._deviation.take(under_way, mode="clip"), places[1:] - places[:-1])
