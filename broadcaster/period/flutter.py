"""Wow and flutter: a tape whose speed swings, as a delay that swings."""

import math

import numpy as np

from broadcaster.period.chance import QUANTUM, Quanta
from broadcaster.period.conditions import ROUGHEST, Conditions
from broadcaster.period.oscillator import PARTS, Tone
from broadcaster.units import Samples, silence

_TAPS = 8
_FRACTION_BITS = 10
_FRACTIONS = 1 << _FRACTION_BITS
"""Places between two samples at which the tape may be read; the nearest is taken, which errs by
-69 dB at a fifth of the rate."""
_STRAIGHT = 16
"""Frames between which the swing is taken as straight, which errs by 0.002 frames at most."""
_RAMP = np.arange(_STRAIGHT) / _STRAIGHT
_WINDOW_BETA = 5.0
"""Of the Kaiser window over the taps: within 0.5 dB to a third of the rate, measured."""


def _weights() -> Samples:
    """The weights of the frames around, oldest first, for each fraction that the tape is late."""
    late = np.arange(_FRACTIONS) / _FRACTIONS
    places = np.arange(_TAPS)[:, None] - (_TAPS // 2) + late
    weights = np.sinc(places) * np.i0(
        _WINDOW_BETA * np.sqrt(np.maximum(0.0, 1.0 - (places / (_TAPS / 2 + 0.5)) ** 2))
    )
    scaled: Samples = (weights / weights.sum(axis=0)).astype(np.float32)
    return scaled


_WEIGHTS = _weights()


class Flutter:
    """The speed swings by two sines: its deviation is what IEC 60386 measures (unweighted peak).

    A speed 1 + a sin(w t) is a delay that swings by a / w; read between the samples by a windowed
    sinc of 8 taps, as a cubic would dull the treble in step with the flutter.
    """

    def __init__(
        self,
        flutter: tuple[float, float],
        wow: tuple[float, float],
        rate: float,
        loop: int | None,
        conditions: Conditions,
    ) -> None:
        """`flutter`, `wow`: peak deviation of the speed (0.01 is one per cent), and hertz."""
        self._swings = [
            (Tone(hertz, rate, loop), deviation * rate / (2.0 * math.pi * hertz))
            for deviation, hertz in (flutter, wow)
        ]
        farthest = ROUGHEST * sum(frames for _, frames in self._swings)
        self.latency = math.ceil(farthest) + _TAPS // 2
        """The delay around which it swings."""
        self._depth = conditions.following(lambda rough, _: rough)
        self._past = silence(2 * self.latency)
        self._middle = np.float32(self.latency * _FRACTIONS + 0.5)
        self._swing = Quanta(self._quantum, QUANTUM, loop)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block of `latency` frames before, swinging; shape (frames,), fresh."""
        late = self._swing.read(frame, len(block)) * self._depth.read(frame, len(block))
        late += self._middle
        parts = late.astype(np.intp)
        first = np.arange(len(self._past) - _TAPS // 2, len(self._past) - _TAPS // 2 + len(block))
        first -= parts >> _FRACTION_BITS
        parts &= _FRACTIONS - 1
        tape = np.concatenate([self._past, block])
        self._past = tape[len(block) :].copy()
        out = tape.take(first)
        out *= _WEIGHTS[0].take(parts)
        for tap in range(1, _TAPS):
            out += tape[tap:].take(first) * _WEIGHTS[tap].take(parts)
        return out

    def _quantum(self, number: int) -> Samples:
        """How late the tape is against `latency`, in parts of a frame, as the table is written."""
        late = np.zeros(QUANTUM // _STRAIGHT + 1)
        for tone, frames in self._swings:
            phase = tone.phase(number * QUANTUM, QUANTUM + 1)[::_STRAIGHT]
            late += frames * np.sin(phase.astype(np.float64) * (2.0 * math.pi / PARTS))
        late *= _FRACTIONS
        swing: Samples = (late[:-1, None] + np.diff(late)[:, None] * _RAMP).astype(np.float32)
        return swing.ravel()
