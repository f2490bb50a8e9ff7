"""Impulsive static: lightning near and far, and every spark on the way."""

import numpy as np
from numpy.typing import NDArray

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
        self._deviation = np.sqrt(variance).astype(np.float32)
        self._index = index
        self._length = max(1, frames_from_seconds(length_s, rate))
        self._band = BandLimit(*band_hz, _SLOPE_DB, rate) if band_hz else None
        self._gain = gain_from_db(level_dbfs) / (self._band.noise_rms if self._band else 1.0)
        self._chance = chance
        self._bed = Bed(self._static, conditions.beds)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block under its static."""
        self._bed.add_to(block, frame)
        return block

    def _static(self, frame: int, frames: int) -> Samples:
        deviation = self._deviation.take(self._under_way(frame, frames), mode="clip")
        noise = self._chance.white(frame, frames) * deviation
        noise *= np.float32(self._gain)
        return self._band.process(noise, frame) if self._band else noise

    def _under_way(self, frame: int, frames: int) -> NDArray[np.int64]:
        """How many impulses are under way at each frame."""
        before = self._length - 1
        if self._chance.loop is None:
            before = min(before, frame)
        moments, _ = self._chance.impulses(
            frame - before, before + frames, self._length / self._index
        )
        size = before + frames + self._length
        begun = np.bincount(moments, minlength=size)
        ended = np.bincount(moments + self._length, minlength=size)
        return np.cumsum(begun - ended)[before : before + frames]
