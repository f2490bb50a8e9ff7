"""Fading: reception that comes and goes."""

import math

import numpy as np
from scipy.special import ndtr

from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.curve import Curve
from broadcaster.units import Samples

_NEPERS_OF_DB = math.log(10.0) / 20.0


class Fading:
    """The whole band sinks and returns; the loss in decibels is uniform from 0 to depth_db.

    rate_hz: fades a second, on average. The depth follows the roughness. The distribution is chosen
    by ear, not by a standard.
    """

    latency = 0

    def __init__(
        self, depth_db: float, rate_hz: float, rate: float, chance: Chance, conditions: Conditions
    ) -> None:
        self._curve = Curve(chance, rate_hz, rate, ndtr)
        self._depth = conditions.following(
            lambda roughness, _strength: -_NEPERS_OF_DB * depth_db * roughness
        )

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block, as strong as the way lets it be."""
        loss = self._curve.read(frame, len(block)) * self._depth.read(frame, len(block))
        block *= np.exp(loss, out=loss)
        return block
