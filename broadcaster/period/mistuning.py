"""Mistuning: a single-sideband receiver that is not quite on the frequency."""

import numpy as np

from broadcaster.period.analytic import AnalyticSignal
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.oscillator import PARTS, Phase, Wander, cosine, sine
from broadcaster.units import Samples


class Mistuning:
    """Every frequency is shifted by the same number of hertz (and harmonies break).

    The real part of the analytic signal on a turning phase. What the other sideband leaves is 60 dB
    down from 230 Hz up (see analytic.py), and the oscillator's table errs by -68 dB. A frequency
    that would fall under 0 Hz comes back from there, as it does in a set.

    The offset follows the roughness; the phase is counted on through every glide.
    """

    def __init__(
        self,
        offset_hz: float,
        drift_hz: float,
        rate: float,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        """`drift_hz`: standard deviation of a slow drift around the offset.

        In a loop the offset gives way a little, so that the loop holds whole cycles; the drift
        comes again, too.
        """
        self._analytic = AnalyticSignal(rate)
        self.latency = self._analytic.latency
        self._drift = Wander(drift_hz, rate, chance)
        self._parts_per_hertz = PARTS / rate
        self._phase_then: np.uint64 | None = None
        """Of the next frame; the first one's is what it would be, had the stream begun at 0."""
        loop_hz = rate / chance.loop if chance.loop else 0.0

        def offset(roughness: float, _strength: float) -> float:
            asked_hz = offset_hz * roughness
            return round(asked_hz / loop_hz) * loop_hz if loop_hz else asked_hz

        self._offset_hz = conditions.following(offset)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block of `latency` frames before, shifted; shape (frames,), fresh."""
        direct, quadrature = self._analytic.process(block)
        phase = self._phase(frame, len(block))
        phase += self._drift.phase(frame, len(block))
        shifted = direct * cosine(phase)
        shifted -= quadrature * sine(phase)
        return shifted

    def _phase(self, frame: int, frames: int) -> Phase:
        """The phase of each frame: the steps of all before it, added up in whole parts."""
        offset_hz = np.asarray(self._offset_hz.read(frame, frames), np.float64)
        step = (offset_hz * self._parts_per_hertz).astype(np.int64).view(np.uint64)
        if step.ndim:
            after = np.cumsum(step, dtype=np.uint64)
        else:
            after = np.arange(1, frames + 1, dtype=np.uint64)
            after *= step
        if self._phase_then is None:
            self._phase_then = np.uint64(frame * int(step.flat[0]) % PARTS)
        after += self._phase_then
        self._phase_then = after[-1]
        after -= step
        return after
