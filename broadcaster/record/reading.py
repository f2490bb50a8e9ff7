"""An as-run log read back: the events that were written, and what a screen was told beside them."""

import json
import typing
from collections.abc import Iterable, Iterator, Sequence
from dataclasses import fields
from pathlib import Path
from typing import Any

from broadcaster.errors import UsageError
from broadcaster.story.events import (
    Coming,
    ItemAired,
    ItemStarted,
    JumpTiming,
    Keyed,
    OutEvent,
    StationOpened,
    name_of,
)

COMING = 4
"""How many items a screen was told of ahead."""
_KINDS: dict[str, type[OutEvent]] = {name_of(kind): kind for kind in typing.get_args(OutEvent)}


def read_log(path: Path) -> Iterator[OutEvent]:
    """The events of a log, in the order in which they were told.

    A last line that was not finished is left out, and so is what this version does not know.
    Raises UsageError if the file cannot be read or a line in it is no line of a log.
    """
    try:
        text = path.read_text(encoding="utf-8", errors="replace")
    except OSError as error:
        raise UsageError(f"Cannot read the log {path}: {error.strerror}.") from error
    lines = text.split("\n")
    for number, line in enumerate(lines, start=1):
        if not line.strip():
            continue
        try:
            event = event_of_record(json.loads(line))
        except (ValueError, TypeError, KeyError) as error:
            if number == len(lines):  # it has no line end: the desk died while it wrote
                return
            raise UsageError(
                f"{path}:{number}: this is no line of an as-run log; "
                "give a file that `broadcaster air` or `rehearse --log` wrote."
            ) from error
        if event:
            yield event


def event_of_record(record: Any) -> OutEvent | None:  # noqa: ANN401  whatever JSON holds
    """The event that as_record() made a record of; None: one that this version does not know.

    Raises ValueError, TypeError or KeyError if it is no such record.
    """
    kind = _KINDS.get(record["event"])
    if kind is None:
        return None
    known = {field.name for field in fields(kind)}
    values = {name: _as_told(name, value) for name, value in record.items() if name in known}
    return kind(**values)


def _as_told(name: str, value: Any) -> Any:  # noqa: ANN401  whatever a field holds
    if name == "timing" and value is not None:
        return JumpTiming(value)
    return _tuples(value)


def _tuples(value: Any) -> Any:  # noqa: ANN401  whatever a field holds
    return tuple(_tuples(one) for one in value) if isinstance(value, list) else value


def frame_of(event: OutEvent) -> int:
    """The frame on which an event was told."""
    match event:
        case StationOpened():
            return 0
        case ItemStarted() | Keyed():
            return event.start_frame
        case ItemAired():
            return event.end_frame
        case _:
            return event.frame


def as_told(events: Iterable[OutEvent]) -> Iterator[OutEvent]:
    """The events of a log, and among them what is told of each item as it goes on air.

    Which item began, and what came after it, is taken from the entries further on: what came is
    not always what was foreseen.
    """
    told = list(events)
    entries = [place for place, event in enumerate(told) if isinstance(event, ItemAired)]
    number = 0
    begun = False
    for event in told:
        while number < len(entries) and not begun and _is_past(event, told[entries[number]]):
            yield from _start(told, entries[number:])
            begun = True
        yield event
        if isinstance(event, ItemAired):
            number, begun = number + 1, False


def _is_past(event: OutEvent, entry: OutEvent) -> bool:
    """Whether an event was told after the item of an entry had begun."""
    assert isinstance(entry, ItemAired)
    return event is entry or (
        not isinstance(event, StationOpened) and frame_of(event) > entry.start_frame
    )


def _start(told: Sequence[OutEvent], places: Sequence[int]) -> Iterator[OutEvent]:
    """What is told where an item begins, and what comes after it until the station ends."""
    cues = []
    for place in places[1 : COMING + 1]:
        if any(isinstance(event, StationOpened) for event in told[places[0] : place]):
            break
        entry = told[place]
        assert isinstance(entry, ItemAired)
        cues.append((entry.segment, entry.item, entry.text))
    entry = told[places[0]]
    assert isinstance(entry, ItemAired)
    values = {field.name: getattr(entry, field.name) for field in fields(entry)}
    del values["complete"]
    yield ItemStarted(**values)
    yield Coming(entry.start_frame, tuple(cues))
