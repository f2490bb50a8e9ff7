"""A recorded session on the same screen, for training: the log stands in for the station."""

from collections.abc import Iterator, Sequence

from broadcaster.clock import Clock
from broadcaster.record.reading import as_told, frame_of
from broadcaster.story.events import (
    InEvent,
    OutEvent,
    OutputState,
    Refused,
    SessionStarted,
    StationOpened,
)
from broadcaster.units import frames_from_seconds

BEFORE_S = 5.0
"""How long before the first session the recording begins; all earlier is told at once."""
CANNOT = "This is a recording: nothing in it can be changed."
OUTPUT = "a recording"


class Replay:
    """Tells a log's events when their frames come by, `speed` times as fast as they came."""

    def __init__(self, log: Sequence[OutEvent], clock: Clock, speed: float = 1.0) -> None:
        self._clock = clock
        self._speed = speed
        self._untold = list(_in_a_row(log))
        self._place = 0
        self._began_s = clock.seconds()
        self._opened = 0
        """The moment at which the station opened that is heard now."""
        starts = (at for at, event in self._untold if isinstance(event, SessionStarted))
        self._first = max(0, next(starts, 0) - frames_from_seconds(BEFORE_S))
        self._refused = False

    def send(self, event: InEvent) -> None:
        """Whatever the operator does is refused."""
        del event
        self._refused = True

    def events(self) -> list[OutEvent]:
        """What came since last asked, and the output as it would have been."""
        since_s = self._clock.seconds() - self._began_s
        now = self._first + frames_from_seconds(since_s * self._speed)
        told: list[OutEvent] = []
        while self._place < len(self._untold) and self._untold[self._place][0] <= now:
            at, event = self._untold[self._place]
            if isinstance(event, StationOpened):
                self._opened = at
            told.append(event)
            self._place += 1
        frame = now - self._opened
        if self._refused:
            told.append(Refused(frame, CANNOT))
            self._refused = False
        return [*told, _output(frame)]


def _in_a_row(log: Sequence[OutEvent]) -> Iterator[tuple[int, OutEvent]]:
    """Each event and its moment in frames: where a station took the place of another, its frames
    count on from those before."""
    opened = moment = 0
    for event in as_told(log):
        if isinstance(event, StationOpened):
            opened = moment
        moment = max(moment, opened + frame_of(event))
        yield moment, event


def _output(frame: int) -> OutputState:
    silent = float("-inf")
    return OutputState(frame, frame, OUTPUT, True, 0, 0, silent, silent)
