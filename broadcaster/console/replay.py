"""A recorded session on the same screen, for training: the log stands in for the station.

The log keeps what happened and not what a screen needs of the moment: when an item began, what came
next, where the loudspeaker was. That is told here, from what the log has.
"""

from collections.abc import Iterator, Sequence

from broadcaster.clock import Clock
from broadcaster.console.words import frame_of
from broadcaster.story.events import (
    Coming,
    InEvent,
    ItemAired,
    ItemStarted,
    OutEvent,
    OutputState,
    Refused,
    SessionStarted,
)
from broadcaster.units import frames_from_seconds

AHEAD = 3
"""How many items that come are told."""
BEFORE_S = 5.0
"""How long before the first session the recording begins; all earlier is told at once."""
CANNOT = "This is a recording: nothing in it can be changed."


class Replay:
    """Tells a log's events when their frames come by, `speed` times as fast as they came."""

    def __init__(self, log: Sequence[OutEvent], clock: Clock, speed: float = 1.0) -> None:
        self._clock = clock
        self._speed = speed
        self._untold = sorted(_with_moments(log), key=lambda told: told[0])
        self._place = 0
        self._began_s = clock.seconds()
        starts = [event.frame for event in log if isinstance(event, SessionStarted)]
        self._first = max(0, min(starts, default=0) - frames_from_seconds(BEFORE_S))
        self._refused = False

    @property
    def frame(self) -> int:
        """The frame that is heard now."""
        since_s = self._clock.seconds() - self._began_s
        return self._first + frames_from_seconds(since_s * self._speed)

    def send(self, event: InEvent) -> None:
        """Whatever the operator does is refused."""
        del event
        self._refused = True

    def events(self) -> list[OutEvent]:
        """What came since last asked, and the output as it would have been."""
        frame, first = self.frame, self._place
        while self._place < len(self._untold) and self._untold[self._place][0] <= frame:
            self._place += 1
        told = [event for _, event in self._untold[first : self._place]]
        if self._refused:
            told.append(Refused(frame, CANNOT))
            self._refused = False
        silent = float("-inf")
        return [*told, OutputState(frame, frame, "a recording", True, 0, 0, silent, silent)]


def _with_moments(log: Sequence[OutEvent]) -> Iterator[tuple[int, OutEvent]]:
    """Each event with the frame at which it is told, and what a screen needs beside it."""
    aired = [event for event in log if isinstance(event, ItemAired)]
    for number, item in enumerate(aired):
        yield item.start_frame, _started(item)
        cues = tuple((one.segment, one.item, one.text) for one in aired[number + 1 :][:AHEAD])
        yield item.start_frame, Coming(item.start_frame, cues)
    for event in log:
        yield frame_of(event), event


def _started(item: ItemAired) -> ItemStarted:
    return ItemStarted(
        item.start_frame,
        item.end_frame,
        item.segment,
        item.item,
        item.text,
        item.clue,
        item.time,
        item.times,
        item.round,
        item.part,
    )
