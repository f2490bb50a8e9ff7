"""The inner rate of a sound: what ends at 5 kHz needs no 48,000 frames a second.

A stream is slowed down by leaving frames out and sped up by putting zeros in, behind or before a
filter that stops what would fold: a symmetric FIR filter, of which only those products are worked
out that are no multiples of left-out frames or zeros. An inner frame n belongs to frame n * factor
of the stream between the rooms; so a block of any length has its own inner frames.
"""

import math
from collections.abc import Iterable
from functools import cache

import numpy as np
from scipy.signal import firwin, kaiserord

from broadcaster.script import sounds
from broadcaster.units import RATE, Samples, silence

_FACTORS = (3, 2, 1)
"""An inner rate of 16, 24 or 48 kHz."""
LOOP_STEP = 384
"""A loop of a whole number of so many frames between the rooms (8 ms) comes again exactly: it holds
whole inner frames at every rate, and whole cells of what follows the level."""
_HELD = 0.425
"""The part of an inner rate that it holds: 6.8 kHz of 16 kHz, 10.2 kHz of 24 kHz."""
_STOP_DB = 57.0
"""What would fold to below the top of a sound is so far down: the beds of all that runs at a lower
rate are louder by far."""
_AT_ONCE = 10
"""Taps that the library multiplies at once; measured, with more it takes twice as long for each."""


def factor_for(rows: Iterable[sounds.AnyProcessor], loop: int | None = None) -> int:
    """How many frames between the rooms make one inner frame: 3, 2 or 1.

    A sound without any band limit passes everything and runs at the full rate. Else it runs at the
    lowest rate that holds the upper end of each of its bands and each whistle, and of which a loop
    (in frames between the rooms) has a whole number of frames.
    """
    rows = tuple(rows)
    top_hz = highest_hz(rows)
    fitting = (
        factor
        for factor in _FACTORS
        if top_hz <= _HELD * RATE / factor and (loop is None or loop % factor == 0)
    )
    return next(fitting, 1)


def highest_hz(rows: Iterable[sounds.AnyProcessor]) -> float:
    """The upper end of the widest band, or the highest whistle; infinite without any band limit."""
    rows = tuple(rows)
    if not any(isinstance(row, sounds.Band) for row in rows):
        return math.inf
    tops = ((getattr(row, "band", None) or (0.0, 0.0))[1] for row in rows)
    return max(*tops, *(getattr(row, "pitch", 0.0) for row in rows))


class Entrance:
    """From the rate between the rooms to the inner rate."""

    def __init__(self, factor: int, top_hz: float) -> None:
        """`top_hz`: what folds to below it is 57 dB down, and up to it the gain is 0 dB."""
        self._factor = factor
        self._phases = _phases(factor, top_hz)[:, ::-1]
        self._past = silence(factor * len(self._phases[0]) - 1)
        self.latency = len(self._past) // 2
        """Frames between the rooms by which what comes out is later."""

    def inner_frame(self, frame: int) -> int:
        """The first inner frame at or after a frame between the rooms."""
        return -(-frame // self._factor)

    def process(self, block: Samples, frame: int) -> Samples:
        """The inner frames that fall on a block, shape (frames,), which may be none at all."""
        if self._factor == 1:
            return block
        known = np.concatenate([self._past, block])
        self._past = known[len(block) :]
        begin, factor = -frame % self._factor, self._factor
        inner = len(range(begin, len(block), factor))
        if not inner:
            return silence(0)
        out = silence(inner)
        for phase, weights in enumerate(self._phases):
            every = np.ascontiguousarray(known[begin + factor - 1 - phase :: factor])
            out += _weighted(every, weights, inner)
        return out


class Exit:
    """From the inner rate back to the rate between the rooms."""

    def __init__(self, factor: int, top_hz: float) -> None:
        """`top_hz`: up to it the gain is 0 dB, and its mirror images are 57 dB down."""
        self._factor = factor
        self._phases = _phases(factor, top_hz)[:, ::-1] * np.float32(factor)
        self._past = silence(len(self._phases[0]))
        self.latency = (factor * len(self._phases[0]) - 1) // 2
        """Frames between the rooms by which what comes out is later."""

    def process(self, inner: Samples, frame: int, frames: int) -> Samples:
        """The frames between the rooms from `frame` on, shape (frames,), of their inner frames."""
        if self._factor == 1:
            return inner
        known = np.concatenate([self._past, inner])
        self._past = known[len(inner) :]
        out = np.empty(frames, np.float32)
        taps = len(self._phases[0])
        for phase, weights in enumerate(self._phases):
            begin = (phase - frame) % self._factor
            count = len(range(begin, frames, self._factor))
            if count:
                # the last inner frame at or before the first frame of this phase
                last = (frame + begin) // self._factor - -(-frame // self._factor)
                first = len(known) - len(inner) + last - taps + 1
                out[begin :: self._factor] = _weighted(known[first:], weights, count)
        return out


def _weighted(samples: Samples, weights: Samples, count: int) -> Samples:
    """The first `count` weighted sums of so many samples as there are weights, shape (count,)."""
    out = np.correlate(samples[: count + _AT_ONCE - 1], weights[:_AT_ONCE])
    for place in range(_AT_ONCE, len(weights), _AT_ONCE):
        stretch = samples[place : place + count + _AT_ONCE - 1]
        out += np.correlate(stretch, weights[place : place + _AT_ONCE])
    return out


@cache
def _phases(factor: int, top_hz: float) -> Samples:
    """The taps of the filter that holds half an inner rate, by phase: shape (factor, taps)."""
    if factor == 1:
        return np.ones((1, 1), np.float32)
    rate = RATE / factor
    needed, beta = kaiserord(_STOP_DB, (rate - 2.0 * top_hz) / (RATE / 2.0))
    taps = _AT_ONCE * math.ceil(needed / (factor * _AT_ONCE))
    odd = factor * taps - (factor * taps + 1) % 2
    whole = firwin(odd, rate / 2.0, window=("kaiser", beta), fs=RATE)
    padded = np.append(whole, np.zeros(factor * taps - odd))
    phases: Samples = padded.reshape(taps, factor).T.astype(np.float32)
    return phases
