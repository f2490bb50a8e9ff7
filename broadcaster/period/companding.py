"""Companding noise: noise that breathes with the programme.

A compandor presses the programme's range together ahead of a noisy way and stretches it behind;
the way's noise is stretched with it, and so is heard under speech and gone in the pauses. Noise in
a fixed ratio to the signal is what Rec. ITU-T P.810 measures with (its Modulated Noise Reference
Unit, Q dB); here it follows not the wave but its envelope, at a syllable's pace.
"""

import numpy as np
from numpy.typing import NDArray

from broadcaster.period.bands import BandLimit
from broadcaster.period.beds import Bed
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import BED_DB, Conditions
from broadcaster.period.envelope import EnvelopeGain
from broadcaster.units import Samples, gain_from_db, silence

_CREST_DB = 10.0
"""The envelope over the RMS of speech: 8 to 11 dB, measured with the voices that ship."""


class Companding:
    """Noise under the programme, `level_db` against its RMS at the moment; the total is steady."""

    latency = 0

    def __init__(
        self,
        level_db: float,
        band_hz: tuple[float, float],
        attack_s: float,
        recovery_s: float,
        rate: float,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        """`attack_s`, `recovery_s`: times in which it follows a rise or a fall of 20 dB."""
        self._band = BandLimit(*band_hz, 12.0, rate)
        self._chance = chance
        self._steady = Bed(self._noise)
        unit = gain_from_db(level_db - _CREST_DB) / self._band.noise_rms

        def gain(peak_db: NDArray[np.float64]) -> NDArray[np.float64]:
            breathing: NDArray[np.float64] = unit * 10.0 ** (peak_db / 20.0)
            return breathing

        def rougher(roughness: float) -> float:
            return gain_from_db(BED_DB * (roughness - 1.0))

        def steady(roughness: float) -> float:
            ratio = gain_from_db(level_db) ** 2
            return float(np.sqrt((1.0 + ratio) / (1.0 + ratio * rougher(roughness) ** 2)))

        self._gain = EnvelopeGain(attack_s, recovery_s, rate, gain)
        self._programme = conditions.following(lambda rough, _: steady(rough))
        self._rougher = conditions.following(lambda rough, _: steady(rough) * rougher(rough))

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block over its own noise."""
        noise = silence(len(block))
        self._steady.add_to(noise, frame)
        noise *= self._gain.read(block, frame)
        noise *= self._rougher.read(frame, len(block))
        block *= self._programme.read(frame, len(block))
        block += noise
        return block

    def _noise(self, frame: int, frames: int) -> Samples:
        return self._band.process(self._chance.white(frame, frames), frame)
