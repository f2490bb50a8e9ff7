"""The inner rate of a sound: what ends at 5 kHz needs no 48,000 frames a second.

A stream is slowed down by leaving frames out and sped up by putting zeros in, behind or before a
filter that stops what would fold. An inner frame n belongs to frame n * factor of the stream
between the rooms; so a block of any length has its own inner frames, and nothing is held back.
"""

import math
from collections.abc import Iterable
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.signal import ellip, group_delay, sos2tf

from broadcaster.period.sections import Sections
from broadcaster.script import sounds
from broadcaster.units import RATE, Samples, silence

_FACTORS = (3, 2, 1)
"""An inner rate of 16, 24 or 48 kHz."""
_HELD = 0.425
"""The part of an inner rate that it holds: 6.8 kHz of 16 kHz, 10.2 kHz of 24 kHz."""
_ORDER, _RIPPLE_DB, _STOP_DB = 8, 0.05, 70.0
"""An elliptic filter; what folds back to under _HELD of the rate is 70 dB down."""
_SPEECH_HZ = 1000.0
"""Where the delay of the filter is that of speech."""


def factor_for(rows: Iterable[sounds.AnyProcessor], loop: int | None = None) -> int:
    """How many frames between the rooms make one inner frame: 3, 2 or 1.

    A sound without any band limit passes everything and runs at the full rate. Else it runs at the
    lowest rate that holds the upper end of each of its bands and each whistle, and of which a loop
    (in frames between the rooms) has a whole number of frames.
    """
    rows = tuple(rows)
    highest_hz = max((_highest_hz(row) for row in rows), default=0.0)
    if not any(isinstance(row, sounds.Band) for row in rows):
        highest_hz = math.inf
    fitting = (
        factor
        for factor in _FACTORS
        if highest_hz <= _HELD * RATE / factor and (loop is None or loop % factor == 0)
    )
    return next(fitting, 1)


def _highest_hz(row: sounds.AnyProcessor) -> float:
    band, pitch_hz = getattr(row, "band", None), getattr(row, "pitch", 0.0)
    return max(band[1] if band else 0.0, pitch_hz)


class Entrance:
    """From the rate between the rooms to the inner rate."""

    def __init__(self, factor: int) -> None:
        self._factor = factor
        self._filter = Sections(_held_band(factor))
        self.latency = _delay(factor)
        """In frames between the rooms, for speech; high notes are later by some frames."""

    def inner_frame(self, frame: int) -> int:
        """The first inner frame at or after a frame between the rooms."""
        return -(-frame // self._factor)

    def process(self, block: Samples, frame: int) -> Samples:
        """The inner frames that fall on a block, shape (frames,), which may be none at all."""
        if self._factor == 1:
            return block
        return self._filter.process(block)[-frame % self._factor :: self._factor].copy()


class Exit:
    """From the inner rate back to the rate between the rooms."""

    def __init__(self, factor: int) -> None:
        self._factor = factor
        self._gain = np.float32(factor)
        self._filter = Sections(_held_band(factor))
        self.latency = _delay(factor)
        """In frames between the rooms, for speech; high notes are later by some frames."""

    def process(self, inner: Samples, frame: int, frames: int) -> Samples:
        """The frames between the rooms from `frame` on, shape (frames,), of their inner frames."""
        if self._factor == 1:
            return inner
        sparse = silence(frames)
        sparse[-frame % self._factor :: self._factor] = inner * self._gain
        return self._filter.process(sparse)


@cache
def _held_band(factor: int) -> NDArray[np.float64]:
    """What an inner rate holds, as sections at the rate between the rooms."""
    edge_hz = _HELD * RATE / factor
    sections: NDArray[np.float64] = ellip(
        _ORDER, _RIPPLE_DB, _STOP_DB, edge_hz, fs=RATE, output="sos"
    )
    return sections


@cache
def _delay(factor: int) -> int:
    if factor == 1:
        return 0
    _, delay = group_delay(sos2tf(_held_band(factor)), [_SPEECH_HZ], fs=RATE)
    return round(float(delay[0]))
