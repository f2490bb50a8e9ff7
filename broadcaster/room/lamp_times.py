"""When the lamp is lit: the key's frames, and which frame is at the loudspeaker now.

Nothing here knows of real time: whoever asks tells the moment, in seconds of the machine's clock.
"""

from collections import deque

from broadcaster.room.lamp_flashes import slowed
from broadcaster.story.events import (
    ItemAired,
    Keyed,
    OutEvent,
    OutputState,
    StationClosed,
    StationOpened,
)
from broadcaster.units import RATE, frames_from_seconds, seconds_from_frames

TRUSTED_S = 1.0
"""For so long the frames are counted on without a word from the station, which comes every tenth
of a second; then the lamp is dark, for who knows what is heard."""


class LampTimes:
    """The marks of what is on air and what is next, as far as they were told."""

    def __init__(self, at_most: int | None, latency_s: float | None) -> None:
        """`at_most`: flashes a second; `latency_s`: from the station to the loudspeaker, None: as
        the output tells.
        """
        self._at_most = at_most
        self._latency_s = latency_s
        self._marks: deque[tuple[int, int]] = deque()
        self._onsets: deque[int] = deque()
        self._state: OutputState | None = None
        self._newest = -1
        """The frame on which the newest item began that was told of."""

    def hear(self, event: OutEvent) -> bool:
        """Take an event in; whether it is one that tells something of the lamp."""
        match event:
            case OutputState():
                self._state = event
                self._forget(event.heard_frame)
            case Keyed():
                self._add(event)
            case ItemAired(end_frame=end) | StationClosed(frame=end):
                self._end(end)
            case StationOpened():  # its frames are counted anew
                self._state, self._newest = None, -1
                self._marks.clear()
                self._onsets.clear()
            case _:
                return False
        return True

    def frame(self, now_s: float) -> int | None:
        """The frame that is heard at a moment; None: nobody knows."""
        state = self._state
        if state is None or now_s - state.moment_s > TRUSTED_S:
            return None
        late_s = 0.0 if self._latency_s is None else self._latency_s - state.delay_s
        return state.heard_frame + frames_from_seconds(now_s - state.moment_s - late_s)

    def lit(self, now_s: float) -> bool:
        """Whether the lamp is lit at a moment."""
        frame = self.frame(now_s)
        return frame is not None and any(on <= frame < off for on, off in self._marks)

    def wait_s(self, now_s: float) -> float | None:
        """Seconds until lit() says something else, as far as is known; None: it will not."""
        frame = self.frame(now_s)
        if frame is None:
            return None
        coming = (edge for mark in self._marks for edge in mark if edge > frame)
        edge = next(coming, None)
        return None if edge is None else seconds_from_frames(edge - frame)

    def _add(self, keyed: Keyed) -> None:
        start = keyed.start_frame
        if start <= self._newest:  # it was told to whoever came late, and then as news
            return
        self._newest = start
        marks = tuple((start + on, start + off) for on, off in keyed.marks)
        if self._at_most is not None:
            marks = slowed(marks, self._at_most, tuple(self._onsets))
            self._onsets.extend(on for on, _ in marks)
        self._marks.extend(marks)

    def _end(self, frame: int) -> None:
        """The item ended on this frame: what it would have keyed from there on is not heard."""
        while self._marks and self._marks[-1][1] > frame:
            on, _ = self._marks.pop()
            if on < frame:
                self._marks.append((on, frame))
                break
        while self._onsets and self._onsets[-1] >= frame:
            self._onsets.pop()

    def _forget(self, frame: int) -> None:
        """Marks that were heard long ago."""
        while self._marks and self._marks[0][1] < frame - RATE:
            self._marks.popleft()
        while self._onsets and self._onsets[0] < frame - RATE:
            self._onsets.popleft()
