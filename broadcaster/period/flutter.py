"""Wow and flutter: a tape whose speed swings, as a delay that swings."""

import math

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view

from broadcaster.period.chance import QUANTUM, Quanta
from broadcaster.period.conditions import ROUGHEST, Conditions
from broadcaster.period.oscillator import PARTS, Tone
from broadcaster.units import Samples, silence

_TAPS = 8
_FRACTIONS = 1024
"""Places between two samples at which the tape may be read; the nearest is taken, which errs by
-69 dB at a fifth of the rate."""
_WINDOW_BETA = 5.0
"""Of the Kaiser window over the taps: within 0.5 dB to a third of the rate, measured."""


def _weights() -> Samples:
    """For each fraction of a frame the weights of the _TAPS frames around, oldest first."""
    late = np.arange(_FRACTIONS + 1)[:, None] / _FRACTIONS
    places = np.arange(_TAPS) - (_TAPS // 2) + late
    weights = np.sinc(places) * np.i0(
        _WINDOW_BETA * np.sqrt(np.maximum(0.0, 1.0 - (places / (_TAPS / 2 + 0.5)) ** 2))
    )
    scaled: Samples = (weights / weights.sum(axis=1, keepdims=True)).astype(np.float32)
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
        self._swing = Quanta(self._quantum, QUANTUM, loop)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block of `latency` frames before, swinging; shape (frames,), fresh."""
        late = self._swing.read(frame, len(block)) * self._depth.read(frame, len(block))
        whole = np.floor(late)
        fraction = ((late - whole) * np.float32(_FRACTIONS) + np.float32(0.5)).astype(np.intp)
        first = np.arange(self.latency - _TAPS // 2, self.latency - _TAPS // 2 + len(block))
        first -= whole.astype(np.intp)
        tape = np.concatenate([self._past, block])
        self._past = tape[len(block) :]
        around = sliding_window_view(tape, _TAPS)[first]
        read: Samples = np.einsum("ij,ij->i", around, _WEIGHTS[fraction])
        return read

    def _quantum(self, number: int) -> Samples:
        """By how many frames the tape is late, against `latency`, as the table is written."""
        late = np.zeros(QUANTUM)
        for tone, frames in self._swings:
            turns = tone.phase(number * QUANTUM, QUANTUM).astype(np.float64) / PARTS
            late += frames * np.sin(2.0 * math.pi * turns)
        swing: Samples = late.astype(np.float32)
        return swing
