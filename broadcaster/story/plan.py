"""The programme as the story reads it: running orders numbered through, times in frames."""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from broadcaster.script.conditions import Expression
from broadcaster.script.durations import written_seconds
from broadcaster.script.programme import (
    Choose,
    Item,
    Pips,
    Programme,
    SpokenItem,
    TimetableEntry,
)
from broadcaster.story.judging import asks_for_time
from broadcaster.units import RATE, frames_from_seconds, seconds_from_frames

NO_WALL = datetime(1958, 11, 3, 20, 0, tzinfo=UTC)
"""The time of day at frame 0 where nobody said one."""


class RunningOrder:
    """Items in a row, each with its number among all items of the programme."""

    def __init__(self, items: tuple[Item, ...], first: int) -> None:
        self.items = items
        self.first = first
        """The number of the first item."""
        self._variants = {
            place: tuple(_variant(item, of) for of in item.choose)
            for place, item in enumerate(items)
            if isinstance(item, Choose)
        }

    def variants(self, place: int) -> tuple[Item, ...]:
        """What can go out at this place: the item itself, or what it chooses from."""
        return self._variants.get(place) or (self.items[place],)


def _variant(choose: Choose, of: Item) -> Item:
    """One variant as an item, with the options that stand beside `choose`."""
    options = {"times": choose.times, "clue": choose.clue, "within": choose.within}
    return of.model_copy(update=options)


@dataclass(frozen=True, slots=True)
class Target:
    """A milestone; its times count from the session's start."""

    name: str
    when: Expression
    asks_for_time: bool
    by_frames: int
    stalled_frames: int


@dataclass(frozen=True, slots=True)
class Slot:
    """An entry of the timetable; its times count from the session's start."""

    name: str
    """How it was written, for a sentence."""
    order: RunningOrder
    segment: str | None
    late_frames: int
    lead_frames: int
    """How much it begins before its mark: a time signal's last pip is on the mark."""
    first_frames: int | None
    """When it is first due; None: by the clock on the wall."""
    every_frames: int | None

    def next_due(self, after: int) -> int | None:
        """The first session time later than this at which it is due."""
        first, every = self.first_frames, self.every_frames
        if first is None or first > after:
            return first
        return None if every is None else after + every - (after - first) % every

    def last_due(self, after: int, until: int) -> int | None:
        """The latest session time in (after, until] at which it is due."""
        first, every = self.first_frames, self.every_frames
        if first is None or first > until:
            return None
        last = first if every is None else until - (until - first) % every
        return last if last > after else None


class Plan:
    """All that the story needs to know; made once."""

    def __init__(self, programme: Programme, seed: int, opened: datetime | None) -> None:
        self.programme = programme
        self.seed = seed
        self._opened = opened or NO_WALL
        self.fact_names = tuple(programme.facts)
        self.session_frames = frames_from_seconds(programme.session)
        self._items = 0
        self.segments = {
            name: self._numbered(segment.play) for name, segment in programme.segments.items()
        }
        self.exits_by_time = {
            name: tuple(
                way.when
                for way in segment.exits
                if way.at_once and way.when and asks_for_time(way.when.root)
            )
            for name, segment in programme.segments.items()
        }
        """The conditions of each segment's `at once` exits that time alone may open."""
        self.ladders = {
            name: self._numbered(segment.hints)
            for name, segment in programme.segments.items()
            if segment.hints
        }
        self.ladder_numbers = {name: number for number, name in enumerate(self.ladders)}
        self.slots = tuple(self._slot(entry) for entry in programme.timetable)
        self.targets = tuple(
            Target(
                name,
                milestone.when,
                asks_for_time(milestone.when.root),
                frames_from_seconds(milestone.by),
                frames_from_seconds(milestone.stalled_after),
            )
            for name, milestone in programme.milestones.items()
        )

    def time_of_day(self, frame: int) -> datetime:
        """The time by the clock on the wall, in the zone in which the station opened."""
        since = timedelta(seconds=seconds_from_frames(frame))
        return (self._opened.astimezone(UTC) + since).astimezone(self._opened.tzinfo)

    def language_of(self, item: Item) -> str:
        """The language in which an item's values are said."""
        if not isinstance(item, SpokenItem):
            return "en"
        profile = self.programme.cast.get(self.programme.voice_name_of(item))
        return item.language or (profile.language if profile else "en")

    def _numbered(self, items: tuple[Item, ...]) -> RunningOrder:
        order = RunningOrder(items, self._items)
        self._items += len(items)
        return order

    def _slot(self, entry: TimetableEntry) -> Slot:
        every = None if entry.every is None else max(1, frames_from_seconds(entry.every))
        first = entry.at if every is None else entry.from_
        if first is None:
            first = entry.every
        begins = entry.play[0] if entry.play else None
        return Slot(
            name=_written(entry),
            order=self._numbered(entry.play),
            segment=entry.segment,
            late_frames=frames_from_seconds(entry.late),
            lead_frames=(begins.pips - 1) * RATE if isinstance(begins, Pips) else 0,
            first_frames=None if first is None else frames_from_seconds(first),
            every_frames=every,
        )


def _written(entry: TimetableEntry) -> str:
    """An entry as its writer wrote it, as far as it tells when."""
    if entry.at is not None:
        return f"at: {written_seconds(entry.at)}"
    if entry.every is not None:
        return f"every: {written_seconds(entry.every)}"
    when = "daily" if entry.daily else "weekdays"
    return f"{when}: {str(entry.clock).removesuffix(':00')}"
