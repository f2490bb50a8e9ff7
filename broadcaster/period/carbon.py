"""A carbon microphone: its current is bent to one side."""

import numpy as np

from broadcaster.period.conditions import Conditions
from broadcaster.units import Samples

_FULL = np.float32(1.0)
_MOST = 0.9


class Carbon:
    """Sound changes the resistance of carbon grains; the current is its inverse.

    x becomes x / (1 - k x), as the current through R (1 - k x) swings about its rest (Ohm's law):
    soft sounds pass as they are, of a loud tone of amplitude a the second harmonic is k a / 2 of
    the first, in the limit of small k a. The steady part is left to the band behind it.
    """

    latency = 0

    def __init__(self, bend: float, conditions: Conditions) -> None:
        """`bend`: k, the change of resistance at full scale, 0 to 0.8; at a roughness of 1."""
        self._bend = conditions.following(lambda rough, _: min(bend * rough, _MOST))

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block, bent."""
        np.clip(block, -_FULL, _FULL, out=block)
        block /= _FULL - block * self._bend.read(frame, len(block))
        return block
