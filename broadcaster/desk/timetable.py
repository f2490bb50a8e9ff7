"""The timetable by the clock on the wall: which entry is due on which frame.

The scheduler library's triggers tell the moments; it does not run anything (measured: it drops what
is late by a second and reorders what is due at the same instant). The station is told of a mark in
good time, with the frame it falls on, and the frame count does the rest.
"""

from __future__ import annotations

from collections import deque
from collections.abc import Iterator
from datetime import UTC, datetime, timedelta, tzinfo
from typing import TYPE_CHECKING

from broadcaster.story.events import OutEvent, OutputState, Placed, StationOpened, TimetableDue
from broadcaster.units import frames_from_seconds, seconds_from_frames

if TYPE_CHECKING:
    from apscheduler.triggers.cron import CronTrigger

    from broadcaster.script.programme import Programme, TimetableEntry

TOLD_S = 60.0
"""How long before its mark the story hears of an entry. An item that begins before that and runs
past the mark makes the entry late; one that would begin after it waits."""
SENT_S = 10.0
"""How long before that the station is sent the event, so that it is placed on its very frame."""
MEASURED = 100
"""How many reports of the output tell how far the loudspeaker is behind: those of ten seconds."""
MEASURED_LEAST = 10
"""How many there must be before anything is placed by them."""

SAME_CALENDAR = timedelta(days=28 * 365 + 7)
"""After so long each date falls on the same day of the week again. The library knows no year before
1970; a story may."""


class Marks:
    """The moments (in UTC) at which a programme's entries are due, without end."""

    def __init__(self, programme: Programme, after: datetime, zone: tzinfo | None = None) -> None:
        """From the first after `after`; `zone`: whose clock it is, None for this machine's."""
        self._triggers = {
            number: _trigger(entry, zone)
            for number, entry in enumerate(programme.timetable)
            if entry.clock is not None
        }
        self._next: dict[int, datetime] = {}
        after = after.astimezone(UTC)
        self._era = SAME_CALENDAR * max(0, -(-(1970 - after.year) // 28))
        for number in self._triggers:
            self._go_on(number, after)

    def until(self, moment: datetime) -> Iterator[tuple[datetime, int]]:
        """Each mark up to a moment that was not told before, and its entry; earliest first."""
        while self._next:
            mark, number = min((mark, number) for number, mark in self._next.items())
            if mark > moment:
                return
            self._go_on(number, mark)
            yield mark, number

    def _go_on(self, number: int, after: datetime) -> None:
        now = after + self._era
        mark = self._triggers[number].get_next_fire_time(now, now)
        self._next[number] = mark.astimezone(UTC) - self._era


def _trigger(entry: TimetableEntry, zone: tzinfo | None) -> CronTrigger:
    from apscheduler.triggers.cron import CronTrigger  # only for who needs it: a tenth of a second

    clock = entry.clock
    assert clock is not None
    return CronTrigger(
        day_of_week=",".join(entry.on_days),
        hour=clock.hour,
        minute=clock.minute,
        second=clock.second,
        timezone=zone,
    )


def timetable_agenda(
    programme: Programme, opened: datetime, frames: int
) -> tuple[tuple[int, TimetableDue], ...]:
    """All that is due by the clock in a broadcast of so many frames, each with the frame on which
    the story hears of it. `opened`: the time of day at frame 0, with its zone.
    """
    end = opened.astimezone(UTC) + timedelta(seconds=seconds_from_frames(frames))
    marks = Marks(programme, opened, opened.tzinfo).until(end)
    return tuple(_due(mark, entry, opened, 0.0) for mark, entry in marks)


def _due(mark: datetime, entry: int, opened: datetime, behind_s: float) -> tuple[int, TimetableDue]:
    since_s = (mark - opened.astimezone(UTC)).total_seconds() - behind_s
    frame = max(0, frames_from_seconds(since_s - TOLD_S))
    return frame, TimetableDue(entry, frames_from_seconds(since_s))


class Arming:
    """Tells a station on air what is due, ahead of time."""

    def __init__(self, programme: Programme, zone: tzinfo | None = None) -> None:
        self._programme = programme
        self._zone = zone
        self._opened: datetime | None = None
        self._marks: Marks | None = None
        self._behind_s: deque[float] = deque(maxlen=MEASURED)

    def hear(self, event: OutEvent, now: datetime) -> list[Placed]:
        """Take what the station told; what it is to be sent. `now`: the time of day."""
        match event:
            case StationOpened():
                self._opened, self._marks = datetime.fromisoformat(event.wall), None
                self._behind_s.clear()
            case OutputState(playing=True) if self._opened:
                heard = self._opened + timedelta(seconds=seconds_from_frames(event.heard_frame))
                self._behind_s.append((now - heard).total_seconds())
                return self._arm(self._opened, now)
        return []

    def _arm(self, opened: datetime, now: datetime) -> list[Placed]:
        """What is due soon, on the frames that will be heard at its marks.

        The frame 0 was heard a little later than it was made, and a sound card's clock is not the
        wall's. The output's reports are late by more or less, so the least delay tells best.
        """
        if len(self._behind_s) < MEASURED_LEAST:
            return []
        if self._marks is None:
            self._marks = Marks(self._programme, now, self._zone)
        behind_s = min(self._behind_s)
        marks = self._marks.until(now + timedelta(seconds=TOLD_S + SENT_S))
        dues = (_due(mark, entry, opened, behind_s) for mark, entry in marks)
        return [Placed(event, frame) for frame, event in dues]
