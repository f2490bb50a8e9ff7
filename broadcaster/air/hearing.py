"""Which frame is at the loudspeaker when: told from the moments at which an output took frames.

An output asks for a period at a time, now and then late, because the machine was busy. The earliest
of its last moments, counted back to the broadcast's first frame, is the one to go by.
"""

from broadcaster.units import frames_from_seconds, seconds_from_frames

REMEMBERED = 64
"""Moments: in as long, at a tenth of a second each, a clock that is off by 0.01 % drifts by less
than a millisecond."""
SLIPPED_S = 0.05
"""An output that is so much later than it was has lost time, or has only filled its buffer before:
what was noted before holds no more."""


class Hearing:
    """One output's. note() is for the thread that takes frames, at() for any other; none waits."""

    def __init__(self, delay_s: float) -> None:
        """`delay_s`: from the moment when a frame is taken until it is heard."""
        self.delay_s = delay_s
        self._origins_s: list[float] = []
        self._noted = 0
        self._afresh = True

    def note(self, first_frame: int, now_s: float) -> None:
        """Frames from this one on are being taken."""
        origin_s = now_s - seconds_from_frames(first_frame)
        if self._afresh or origin_s > min(self._origins_s) + SLIPPED_S:
            self._afresh = False
            self._origins_s = [origin_s] * REMEMBERED
        self._origins_s[self._noted % REMEMBERED] = origin_s
        self._noted += 1

    def restart(self) -> None:
        """The output went on without us: what was noted before holds no more."""
        self._afresh = True

    def at(self, now_s: float, taken: int) -> int:
        """The frame that is heard at a moment; of `taken` frames so far, at most all."""
        if not self._origins_s:
            return 0
        origin_s = min(self._origins_s)
        return min(taken, max(0, frames_from_seconds(now_s - origin_s - self.delay_s)))
