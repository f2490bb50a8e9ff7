"""Fading: reception that comes and goes."""

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtr

from broadcaster.period.chance import Chance
from broadcaster.period.curve import Curve
from broadcaster.units import Samples


class Fading:
    """The whole band sinks and returns; the loss in decibels is uniform from 0 to depth_db.

    rate_hz: fades a second, on average. The distribution is chosen by ear, not by a standard.
    """

    latency = 0

    def __init__(self, depth_db: float, rate_hz: float, chance: Chance) -> None:
        def gain(curve: NDArray[np.float64]) -> NDArray[np.float64]:
            faded: NDArray[np.float64] = 10.0 ** (-depth_db / 20.0 * ndtr(curve))
            return faded

        self._gain = Curve(chance, rate_hz, gain)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block, as strong as the way lets it be."""
        block *= self._gain.read(frame, len(block))
        return block
