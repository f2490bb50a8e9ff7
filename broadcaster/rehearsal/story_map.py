"""The story as a map: which segment leads where, by itself, by the timetable or by the operator."""

from collections.abc import Iterator
from dataclasses import dataclass

from broadcaster.script.programme import END, Exit, Item, Programme, Segment, copy_of
from broadcaster.script.template import Template
from broadcaster.story.plan import Plan


@dataclass(frozen=True, slots=True)
class Way:
    """A way out of a segment, or of the timetable."""

    to: str
    """A segment, or END."""
    when: str
    """The condition, as it was written; empty: always."""
    at_once: bool


@dataclass(frozen=True, slots=True)
class Stop:
    """A segment on the map."""

    name: str
    number: int
    """Its place in the script, from 1."""
    about: str
    repeats: bool
    hints: int
    clues: tuple[str, ...]
    ways: tuple[Way, ...]


@dataclass(frozen=True, slots=True)
class StoryMap:
    """All segments, in the order of the script."""

    opening: str
    stops: tuple[Stop, ...]
    """Those that the story can come to by itself or by the timetable, the opening first."""
    aside: tuple[Stop, ...]
    """Those that only the operator can move to."""
    due: tuple[Way, ...]
    """The timetable's moves; `when` says when."""
    played: tuple[str, ...]
    """What else the timetable sends, a line each."""


def story_map(programme: Programme) -> StoryMap:
    """The map of a programme."""
    plan = Plan(programme, 0, None)
    pairs = list(zip(programme.timetable, plan.slots, strict=True))
    due = tuple(
        Way(entry.segment, slot.name, at_once=False) for entry, slot in pairs if entry.segment
    )
    played = tuple(
        f"{slot.name}  {'; '.join(map(_written, entry.play))}"
        for entry, slot in pairs
        if entry.play
    )
    reached = _reached(programme, due)
    stops = [
        _stop(name, number, segment)
        for number, (name, segment) in enumerate(programme.segments.items(), start=1)
    ]
    stops.sort(key=lambda stop: stop.name != programme.opening)
    return StoryMap(
        programme.opening,
        tuple(stop for stop in stops if stop.name in reached),
        tuple(stop for stop in stops if stop.name not in reached),
        due,
        played,
    )


def _written(item: Item) -> str:
    """An item as a line has it: its kind, and what it sends."""
    copy = copy_of(item)
    match copy:
        case Template():
            return f"{item.kind} {copy.source}"
        case str() | int():
            return f"{item.kind} {copy}"
        case _:
            return item.kind


def _reached(programme: Programme, due: tuple[Way, ...]) -> set[str]:
    reached: set[str] = set()
    ahead = [programme.opening, *(way.to for way in due)]
    while ahead:
        name = ahead.pop()
        if name not in reached and name != END:
            reached.add(name)
            ahead += [way.to for way in programme.segments[name].exits]
    return reached


def _stop(name: str, number: int, segment: Segment) -> Stop:
    return Stop(
        name,
        number,
        segment.about,
        segment.repeat,
        len(segment.hints),
        tuple(dict.fromkeys(item.clue for item in segment.play if item.clue)),
        tuple(_ways(segment.exits)),
    )


def _ways(exits: tuple[Exit, ...]) -> Iterator[Way]:
    for way in exits:
        yield Way(way.to, way.when.source if way.when else "", way.at_once)
