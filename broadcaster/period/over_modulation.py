"""Over-modulation: what is louder than the modulator can send is cut off."""

import numpy as np
from numpy.typing import NDArray

from broadcaster.period.conditions import Conditions
from broadcaster.units import Samples, gain_from_db, silence

_EDGE = np.float32(1.0)
_SIXTH = np.float32(1.0 / 6.0)


class OverModulation:
    """Hard clipping at full scale, with its corners rounded as the band of the stream asks.

    Where the wave meets the edge between two samples it turns a corner, whose spectrum would fold
    back. The corner is replaced by one that is as band-limited as a triangle of two samples: 1/6 of
    the change of slope times the cube of the distance is taken off the samples on both sides
    (Esqueda, Valimaki and Bilbao, "Rounding corners with BLAMP", DAFx 2016; from memory). What
    never meets the edge passes untouched, a frame late.
    """

    latency = 1

    def __init__(self, drive_db: float, conditions: Conditions) -> None:
        """`drive_db`: how far full scale is driven over the edge, at a roughness of 1."""
        self._drive = conditions.following(lambda rough, _: gain_from_db(drive_db * rough))
        self._last = silence(2)
        """The last two driven frames: of the older one all but what follows it is known."""

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block of a frame before, shape (frames,), fresh; hardly over full scale."""
        block *= self._drive.read(frame, len(block))
        driven = np.concatenate([self._last, block])
        self._last = driven[-2:].copy()
        out: Samples = np.clip(driven, -_EDGE, _EDGE)
        if np.abs(driven).max() > _EDGE:
            self._round(out, driven, driven > _EDGE, _EDGE)
            self._round(out, driven, driven < -_EDGE, -_EDGE)
        return out[1:-1]

    @staticmethod
    def _round(out: Samples, driven: Samples, over: NDArray[np.bool_], edge: np.float32) -> None:
        """Round every corner at one edge: each lies between a frame and the one after it."""
        before = np.flatnonzero(over[1:] != over[:-1])
        rise = driven[before + 1] - driven[before]
        passed = (edge - driven[before]) / rise
        size = np.abs(rise) * (np.sign(edge) * _SIXTH)
        left = np.float32(1.0) - passed
        out[before] -= size * left * left * left
        out[before + 1] -= size * passed * passed * passed
