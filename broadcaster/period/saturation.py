"""Saturation: an amplifier driven into its bend."""

import numpy as np

from broadcaster.period.conditions import Conditions
from broadcaster.units import Samples, gain_from_db

_END = np.float32(3.0)


def _bend(driven: Samples) -> Samples:
    """x (27 + x^2) / (27 + 9 x^2), held at +-1 from +-3 on, in place.

    A Pade approximant of tanh that reaches 1 with slope 0. Made of plain arithmetic, so that the
    bits depend neither on the place in a block nor on the machine's mathematical library.
    """
    np.minimum(driven, _END, out=driven)
    np.maximum(driven, -_END, out=driven)
    square = driven * driven
    driven *= square + np.float32(27.0)
    square *= np.float32(9.0)
    square += np.float32(27.0)
    driven /= square
    return driven


class Saturation:
    """Soft and without memory: what is soft comes up by nearly the drive, full scale stays.

    The drive follows the roughness, in decibels.
    """

    latency = 0

    def __init__(self, drive_db: float, conditions: Conditions) -> None:
        def drive(roughness: float, _strength: float) -> float:
            return gain_from_db(drive_db * roughness)

        def level(roughness: float, strength: float) -> float:
            full_scale = np.array([drive(roughness, strength)], np.float32)
            return 1.0 / float(_bend(full_scale)[0])

        self._drive = conditions.following(drive)
        self._level = conditions.following(level)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block, bent; +-1 in is +-1 out."""
        block *= self._drive.read(frame, len(block))
        _bend(block)
        block *= self._level.read(frame, len(block))
        return block
