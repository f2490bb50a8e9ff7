"""Recursive filters as streams: sections of second order that carry on where the last block ended.

scipy's sosfilt() spends 25 to 45 microseconds a call on finding out what it was given, ten times
as long as it filters a live block. A station knows: here its loop is called at once.
"""

from collections.abc import Callable

import numpy as np
from numpy.typing import ArrayLike
from scipy.signal import sosfilt

from broadcaster.units import Samples

Loop = Callable[[Samples, Samples, Samples], None]
"""Filters a stream, shape (1, frames), and carries the state, shape (1, count, 2), both in place;
the sections, shape (count, 6), come first."""


def _checked_loop(sections: Samples, stream: Samples, state: Samples) -> None:
    """The loop behind sosfilt()'s checks: the same bits, only slower."""
    stream[:], after = sosfilt(sections, stream, zi=state.swapaxes(0, 1))
    state[:] = after.swapaxes(0, 1)


try:
    from scipy.signal._sosfilt import _sosfilt

    _run: Loop = _sosfilt
except ImportError:  # a scipy that keeps its loop elsewhere
    _run = _checked_loop


class Sections:
    """A filter of second-order sections in float32, from rest on."""

    def __init__(self, sections: ArrayLike) -> None:
        """`sections`: as scipy.signal designs them (`output="sos"`), shape (count, 6)."""
        self._sections = np.ascontiguousarray(sections, dtype=np.float32)
        self._state = np.zeros((1, len(self._sections), 2), dtype=np.float32)

    def process(self, block: Samples) -> Samples:
        """The block, shape (frames,), filtered on from where the last one ended; a fresh array."""
        stream = np.array(block, dtype=np.float32, ndmin=2, order="C")
        if len(block):
            _run(self._sections, stream, self._state)
        filtered: Samples = stream[0]
        return filtered
