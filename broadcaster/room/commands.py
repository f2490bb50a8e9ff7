"""The one table from a message to an event: whatever an inlet carries, it becomes one of these.

A message is a mapping: its event in words, and the event's fields, all as an as-run record has
them: `{"event": "jump", "segment": "watch", "timing": "now"}`. Nothing is guessed, and what is not
known is refused.
"""

from collections.abc import Callable, Mapping
from dataclasses import MISSING, Field, dataclass, fields
from enum import StrEnum
from typing import Any, TypeAlias

from broadcaster.script.alphabets import shown
from broadcaster.script.names import clipped, known_names
from broadcaster.script.reception import (
    FULL_SIGNAL,
    NO_SIGNAL,
    PERFECTLY_READABLE,
    UNREADABLE,
)
from broadcaster.script.source import strange_character
from broadcaster.script.transitions import TRANSITIONS
from broadcaster.script.values import LONGEST_TEXT
from broadcaster.story.events import name_of
from broadcaster.story.in_events import (
    Announce,
    EndSession,
    GiveHint,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    PlainVoice,
    ResetSession,
    RestoreSession,
    Resume,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
    StopPlainVoice,
    TakeBackAnnouncement,
    TakeBackHint,
    TakeBackJump,
)

LONGEST_NAME = 200
"""Characters in the name of a fact or segment, or in a name that a fact holds."""

Message: TypeAlias = Mapping[str, Any]


@dataclass(frozen=True, slots=True)
class Report:
    """What a sensor says of a fact, by either of its names. The command `set fact` is a hand's."""

    fact: str
    value: object


class Why(StrEnum):
    """What is wrong with a message that is refused."""

    MALFORMED = "malformed"
    """It is no message, or lacks something, or has something of another type."""
    UNKNOWN = "unknown"
    """It names an event, a segment or a fact that is not there."""
    UNFIT = "unfit"
    """The fact cannot hold the value."""
    TOO_MANY = "too many"
    """It may be good, but there are too many of them; send it again, later."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """A message was not taken: what is wrong with it, and that in a sentence."""

    why: Why
    sentence: str


class RefusedError(Exception):
    """A message that cannot be taken."""

    def __init__(self, why: Why, sentence: str) -> None:
        self.refusal = Refusal(why, harmless(sentence))
        super().__init__(sentence)


LONGEST_SENTENCE = 300
"""Characters of what is shown of a message that is refused (chosen)."""


def harmless(sentence: str) -> str:
    """A sentence with words from outside, as a terminal and a log can take it: short, on one line,
    and without what would steer them (control characters, marks of direction, half characters).
    """
    shown = sentence[:LONGEST_SENTENCE]
    return "".join(
        character if character.isprintable() else "\N{REPLACEMENT CHARACTER}" for character in shown
    )


_COMMANDS: tuple[type[InEvent], ...] = (
    StartSession,
    EndSession,
    ResetSession,
    RestoreSession,
    Hold,
    Resume,
    Jump,
    TakeBackJump,
    SetFact,
    GiveHint,
    TakeBackHint,
    Announce,
    TakeBackAnnouncement,
    SetSignal,
    SetReadability,
    PlainVoice,
    StopPlainVoice,
)

COMMANDS: Mapping[str, type[InEvent]] = {name_of(kind): kind for kind in _COMMANDS}
"""Every event that may come from outside, by its name in words."""
RANGES: Mapping[str, tuple[float, float]] = {
    "strength": (NO_SIGNAL, FULL_SIGNAL),
    "grade": (UNREADABLE, PERFECTLY_READABLE),
}
"""The fields that are numbers, and what they may be; None: as the script says."""
NOT_TOLD = ("source", "progress")
"""Fields that the message does not carry: the inlet and the settings know them."""
_WANTED = {
    kind: {field.name: field for field in fields(kind) if field.name not in NOT_TOLD}
    for kind in _COMMANDS
}
_WITH_SOURCE = {kind for kind in _COMMANDS if "source" in kind.__dataclass_fields__}


def event_of(message: object, source: str) -> InEvent:
    """The event that a message asks for. Raises RefusedError.

    `source`: the inlet by which it came.
    """
    if not isinstance(message, Mapping):
        raise RefusedError(Why.MALFORMED, "A message is a mapping with the key `event`.")
    kind = _kind(message)
    wanted = _WANTED[kind]
    for key in message:
        if key != "event" and key not in wanted:
            known = known_names(str(key), wanted) if wanted else "It has no other keys."
            raise RefusedError(
                Why.MALFORMED, f"{clipped(str(key))} does not belong to `{name_of(kind)}`. {known}"
            )
    values: dict[str, Any] = {name: _value(message, field) for name, field in wanted.items()}
    if kind in _WITH_SOURCE:
        values["source"] = source
    return kind(**values)


def read_report(report: Report) -> Report:
    """The report, as far as it can be read without the programme. Raises RefusedError."""
    return Report(_name("fact", report.fact), _fact_value("value", report.value))


def message_of(event: InEvent) -> dict[str, Any]:
    """The message that asks for an event: event_of() makes the same event of it."""
    told = {field.name: getattr(event, field.name) for field in fields(event)}
    return {
        "event": name_of(type(event)),
        **{
            name: str(value) if isinstance(value, StrEnum) else value
            for name, value in told.items()
            if name not in NOT_TOLD
        },
    }


def _kind(message: Message) -> type[InEvent]:
    name = message.get("event")
    if not isinstance(name, str):
        raise RefusedError(Why.MALFORMED, "The message does not say which `event` it wants.")
    kind = COMMANDS.get(name)
    if kind is None:
        known = known_names(name, COMMANDS)
        raise RefusedError(Why.UNKNOWN, f"There is no event {clipped(name)}. {known}".strip())
    return kind


def _value(message: Message, field: "Field[Any]") -> object:
    if field.name not in message:
        if field.default is MISSING:
            raise RefusedError(Why.MALFORMED, f"The message lacks `{field.name}`.")
        return field.default
    return _READERS[field.name](field.name, message[field.name])


# --- one reader for each field -------------------------------------------------------------------


def _name(key: str, value: object) -> str:
    return _text(key, value, LONGEST_NAME)


def _speech(key: str, value: object) -> str:
    return _text(key, value, LONGEST_TEXT)


def _text(key: str, value: object, longest: int) -> str:
    if not isinstance(value, str):
        raise RefusedError(Why.MALFORMED, f"`{key}` is not a text.")
    if len(value) > longest:
        raise RefusedError(
            Why.MALFORMED,
            f"`{key}` has {len(value)} characters; up to {longest} are allowed.",
        )
    strange = strange_character(value)
    if strange is not None:
        raise RefusedError(
            Why.MALFORMED, f"`{key}` has a character that is no text: {shown(value[strange])}."
        )
    return value


def _yes_or_no(key: str, value: object) -> bool:
    if not isinstance(value, bool):
        raise RefusedError(Why.MALFORMED, f"`{key}` is neither true nor false.")
    return value


def _timing(key: str, value: object) -> JumpTiming:
    return JumpTiming(_one_of(key, value, tuple(JumpTiming)))


def _transition(key: str, value: object) -> str | None:
    return None if value is None else _one_of(key, value, TRANSITIONS)


def _one_of(key: str, value: object, names: tuple[str, ...]) -> str:
    if not isinstance(value, str) or value not in names:
        listed = ", ".join(f"`{name}`" for name in names)
        raise RefusedError(Why.MALFORMED, f"`{key}` is none of {listed}.")
    return value


def _number_or_none(key: str, value: object) -> float | None:
    if value is None:
        return None
    low, high = RANGES[key]
    if isinstance(value, bool) or not isinstance(value, int | float) or not low <= value <= high:
        raise RefusedError(
            Why.MALFORMED, f"`{key}` is neither a number from {low:g} to {high:g} nor null."
        )
    return float(value)


def _fact_value(key: str, value: object) -> bool | int | float | str:
    """A single value; values.py reads it as the fact's own kind."""
    if isinstance(value, bool | int | float):
        return value
    if isinstance(value, str):
        return _name(key, value)
    raise RefusedError(Why.MALFORMED, f"`{key}` is not a single value.")


_READERS: Mapping[str, Callable[[str, object], object]] = {
    "segment": _name,
    "timing": _timing,
    "transition": _transition,
    "fact": _name,
    "value": _fact_value,
    "text": _speech,
    "now": _yes_or_no,
    **dict.fromkeys(RANGES, _number_or_none),
}
