"""An events file: what the room and the operator do, and when, for a rehearsal or a test on air.

A list. Each entry has `at`, a time since the session began, and one thing that happens then.
"""

from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Annotated, ClassVar, Literal

from pydantic import BeforeValidator, Field

from broadcaster.errors import Fault, ScriptError, UnreadableError
from broadcaster.script.building import build
from broadcaster.script.check_timetable import one_of, out_of_place
from broadcaster.script.facts import FactValue
from broadcaster.script.forms import Form
from broadcaster.script.names import clipped, known_names
from broadcaster.script.programme import Programme
from broadcaster.script.reading import read_file
from broadcaster.script.reception import (
    FULL_SIGNAL,
    NO_SIGNAL,
    PERFECTLY_READABLE,
    UNREADABLE,
)
from broadcaster.script.scene import Written
from broadcaster.script.shapes import AtLeast
from broadcaster.script.transitions import Transition
from broadcaster.script.tree import Mapping as Keys
from broadcaster.script.tree import Scalar, Sequence
from broadcaster.script.values import Announcement, Seconds, Words, factor

_LIST = "events"
SCRIPT = "script"
"""What is written where the operator lets the script have its way again."""


def _strength(value: object) -> float | str:
    return _on_scale(value, NO_SIGNAL, FULL_SIGNAL)


def _grade(value: object) -> float | str:
    return _on_scale(value, UNREADABLE, PERFECTLY_READABLE)


def _on_scale(value: object, least: float, most: float) -> float | str:
    if value == SCRIPT:
        return SCRIPT
    allowed = f"Write a number from {least:g} to {most:g}, or `{SCRIPT}`."
    try:
        number = factor(value)
    except UnreadableError:
        number = -1.0
    if not least <= number <= most:
        raise UnreadableError(f"{clipped(str(value))} is not on the scale.", allowed)
    return number


class EventEntry(Form):
    """One thing that happens at a time."""

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (
        (
            *("set", "jump", "hint", "say", "plain voice", "stop plain voice"),
            *("signal", "readability", "hold", "resume", "end"),
        ),
    )
    belongs: ClassVar[Mapping[str, str]] = {"timing": "jump", "transition": "jump"}

    at: Seconds
    """How long after the session began. While a session is held, this time goes on."""
    set: Annotated[dict[str, FactValue], AtLeast(1)] = Field(default_factory=dict)
    """The room says that facts have these values."""
    jump: Words | None = None
    """The operator moves the story to this segment."""
    timing: Literal["now", "after item", "after round"] = "after item"
    """When the jump is made."""
    transition: Transition | None = None
    """What lies between, instead of what the script says."""
    hint: Literal["next"] | None = None
    """The operator gives the next hint."""
    say: Announcement | None = None
    """The operator speaks, after the item on air."""
    signal: Annotated[float | str, BeforeValidator(_strength)] | None = None
    """The operator says how strong the signal is, 0 to 5; `script`: as the script says again."""
    readability: Annotated[float | str, BeforeValidator(_grade)] | None = None
    """The operator says how readable everything is, 1 to 5; `script`: as the script says again."""
    plain_voice: Announcement | None = None
    """The plain voice takes the air and says this, until it is stopped."""
    stop_plain_voice: Literal["yes"] | None = None
    """It falls silent; the session stays held."""
    hold: Literal["yes"] | None = None
    """The session is held."""
    resume: Literal["yes"] | None = None
    """It goes on."""
    end: Literal["yes"] | None = None
    """The session is over."""


class _EventsFile(Form):
    events: tuple[EventEntry, ...]


def read_events(path: Path, programme: Programme) -> tuple[EventEntry, ...]:
    """The entries of an events file, in the order in which they are written.

    Raises UsageError if the file cannot be opened, ScriptError with all that is wrong in it.
    """
    tree, faults = read_file(path)
    if not isinstance(tree, Sequence):
        message, mend = "An events file is a list.", "Begin each entry with `- at: 2 min`."
        raise ScriptError([*faults, Fault(tree.place, message, mend)])
    whole = Keys(tree.place, {_LIST: Scalar(tree.place, _LIST)}, {_LIST: tree})
    built = build(whole, _EventsFile)
    faults = [*faults, *built.faults]
    if built.form:
        for entry in Written(built.form, whole).parts(_LIST, built.form.events):
            faults += _meaning(entry, programme)
    if faults or built.form is None:
        raise ScriptError(faults)
    return built.form.events


def _meaning(entry: Written[EventEntry], programme: Programme) -> Iterator[Fault]:
    """What cannot be told from the entry's form alone."""
    yield from one_of(entry, entry.form.exactly_one[0], "what happens")
    yield from out_of_place(entry)
    segment = entry.form.jump
    if segment is not None and segment not in programme.segments:
        known = known_names(segment, programme.segments)
        yield entry.fault("jump", f"There is no segment {clipped(segment)}.", known)
    facts = entry.node.values.get("set")
    if isinstance(facts, Keys):
        yield from _fact_faults(entry, facts, programme)


def _fact_faults(entry: Written[EventEntry], node: Keys, programme: Programme) -> Iterator[Fault]:
    if not node.keys and not node.left_out:
        yield entry.fault("set", "`set` changes nothing.", "Write `set: {fact: value}`.")
    for name, value in entry.form.set.items():
        fact = programme.facts.get(name)
        if fact is None:
            known = known_names(name, programme.facts)
            yield Fault(node.keys[name].place, f"There is no fact {clipped(name)}.", known)
        elif refusal := fact.refusal(value):
            message, mend = refusal
            yield Fault(node.values[name].place, f"`{name}` cannot be set: {message}", mend)
