"""Saturation: an amplifier driven into its bend."""

import numpy as np

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
    """Soft and without memory: what is soft comes up by nearly the drive, full scale stays."""

    latency = 0

    def __init__(self, drive_db: float) -> None:
        drive = np.float32(gain_from_db(drive_db))
        self._drive = drive
        self._level = np.float32(1.0) / _bend(np.array([drive]))[0]

    def process(self, block: Samples, _frame: int, /) -> Samples:
        """The block, bent; +-1 in is +-1 out."""
        block *= self._drive
        _bend(block)
        block *= self._level
        return block
