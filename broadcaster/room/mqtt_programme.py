"""What a console on another machine must know of a programme: as JSON, and back.

It has no script there. Nothing of what is said or played is in it, so it cannot be put on air.
"""

from collections.abc import Callable, Mapping
from typing import Any, TypeVar

from broadcaster.errors import StationError
from broadcaster.script.conditions import parse_condition
from broadcaster.script.facts import Fact
from broadcaster.script.programme import Exit, Milestone, Programme, Segment, Station

T = TypeVar("T")


def programme_record(programme: Programme) -> dict[str, Any]:
    """A programme as plain values."""
    return {
        "programme": programme.programme,
        "callsign": programme.station.callsign,
        "frequency": programme.station.frequency,
        "session": programme.session,
        "readability": programme.station.readability,
        "opening": programme.opening,
        "plain_voice": programme.plain_voice_text,
        "segments": {
            name: {
                "about": segment.about,
                "readability": segment.readability,
                "exits": [_exit_record(way) for way in segment.exits],
            }
            for name, segment in programme.segments.items()
        },
        "facts": {
            name: {"at_first": fact.at_first, "one_of": list(fact.one_of)}
            for name, fact in programme.facts.items()
        },
        "milestones": {
            name: {"by": milestone.by, "stalled_after": milestone.stalled_after}
            for name, milestone in programme.milestones.items()
        },
    }


def _exit_record(way: Exit) -> dict[str, Any]:
    when = None if way.when is None else way.when.source
    return {"to": way.to, "when": when, "at_once": way.at_once}


def programme_from(record: Mapping[str, Any]) -> Programme:
    """The programme of a record, as far as a console needs it. Raises StationError."""
    try:
        return Programme.model_construct(
            programme=_text(record["programme"]),
            station=Station.model_construct(
                callsign=_text(record["callsign"]),
                frequency=_number(record["frequency"]),
                voice="",
                readability=_grade(record["readability"]),
            ),
            opening=_text(record["opening"]),
            session=_number(record["session"]),
            plain_voice=_text(record["plain_voice"]),
            segments=_each(record["segments"], _segment),
            facts=_each(record["facts"], _fact),
            milestones=_each(record["milestones"], _milestone),
        )
    except (KeyError, TypeError, AttributeError, ValueError) as error:
        raise StationError(
            "What the station tells of its programme cannot be understood; "
            "perhaps it is of another version."
        ) from error


def _each(record: Mapping[str, Any], read: Callable[[Mapping[str, Any]], T]) -> dict[str, T]:
    return {_text(name): read(one) for name, one in record.items()}


def _segment(record: Mapping[str, Any]) -> Segment:
    exits = tuple(_exit(one) for one in record["exits"])
    return Segment.model_construct(
        play=(),
        about=_text(record["about"]),
        readability=_grade(record["readability"]),
        exits=exits,
    )


def _exit(record: Mapping[str, Any]) -> Exit:
    when = record["when"]
    return Exit.model_construct(
        to=_text(record["to"]),
        when=None if when is None else parse_condition(when),
        at_once=bool(record["at_once"]),
    )


def _fact(record: Mapping[str, Any]) -> Fact:
    at_first = record["at_first"]
    if not isinstance(at_first, bool | int | str):
        raise TypeError
    return Fact.model_construct(
        at_first=at_first, one_of=tuple(_text(name) for name in record["one_of"])
    )


def _milestone(record: Mapping[str, Any]) -> Milestone:
    return Milestone.model_construct(
        by=_number(record["by"]), hint_after=_number(record["stalled_after"])
    )


def _grade(value: object) -> float | None:
    return None if value is None else _number(value)


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise TypeError
    return value


def _number(value: object) -> float:
    if isinstance(value, bool) or not isinstance(value, int | float):
        raise TypeError
    return float(value)
