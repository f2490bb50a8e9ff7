"""What makes a voice that of a machine: a low tone that it is multiplied by, and quick echoes."""

import math

import numpy as np

from broadcaster.period.conditions import Conditions
from broadcaster.period.oscillator import Tone, sine
from broadcaster.units import Samples, frames_from_seconds, gain_from_db, silence


class Ring:
    """Ring modulation: every partial f of the voice becomes f + t and f - t, so it loses its tune.

    A tone well under the pitch of speech leaves words readable.
    """

    latency = 0

    def __init__(
        self, tone_hz: float, mix: float, rate: float, loop: int | None, conditions: Conditions
    ) -> None:
        """`mix`: how much is multiplied, 0 to 1, at a roughness of 1; what is not passes."""
        self._tone = Tone(tone_hz, rate, loop)
        self._wet = conditions.following(lambda rough, _: math.sqrt(2.0) * min(mix * rough, 1.0))
        self._dry = conditions.following(lambda rough, _: 1.0 - min(mix * rough, 1.0))

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block, partly multiplied."""
        gain = sine(self._tone.phase(frame, len(block)))
        gain *= self._wet.read(frame, len(block))
        gain += self._dry.read(frame, len(block))
        block *= gain
        return block


class Comb:
    """Three echoes in equal steps, each softer by the same loss. White noise keeps its power."""

    latency = 0
    _ECHOES = 3

    def __init__(self, step_s: float, loss_db: float, rate: float) -> None:
        self._step = max(1, frames_from_seconds(step_s, rate))
        gains = gain_from_db(-loss_db) ** np.arange(self._ECHOES + 1)
        self._gains = (gains / np.sqrt(np.square(gains).sum())).astype(np.float32)
        self._past = silence(self._ECHOES * self._step)

    def process(self, block: Samples, _frame: int, /) -> Samples:
        """The block and what echoes of before; shape (frames,), fresh."""
        heard = np.concatenate([self._past, block])
        self._past = heard[len(block) :].copy()
        out: Samples = block * self._gains[0]
        for echo in range(1, self._ECHOES + 1):
            start = (self._ECHOES - echo) * self._step
            out += heard[start : start + len(block)] * self._gains[echo]
        return out
