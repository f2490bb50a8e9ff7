"""What happens in a session as events on frames: the start, and then what an events file holds."""

from collections.abc import Iterable, Iterator
from pathlib import Path
from typing import TypeAlias

from broadcaster.script.events_file import EventEntry, read_events
from broadcaster.script.programme import Programme
from broadcaster.story.events import (
    Announce,
    EndSession,
    GiveHint,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    PlainVoice,
    Resume,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
    StopPlainVoice,
)
from broadcaster.units import frames_from_seconds

Agenda: TypeAlias = tuple[tuple[int, InEvent], ...]
"""Events that are known beforehand, each with its frame."""

SOURCE = "events file"
"""Who says what an events file says."""


def agenda_of(events: str | None, programme: Programme) -> Agenda:
    """The agenda of an events file, given its path; None: nothing but the start.

    Raises UsageError if the file cannot be opened, ScriptError with all that is wrong in it.
    """
    return session_agenda(read_events(Path(events), programme) if events else ())


def session_agenda(entries: Iterable[EventEntry] = ()) -> Agenda:
    """A session that begins on frame 0, and what happens in it."""
    happening = (
        (frames_from_seconds(entry.at), event) for entry in entries for event in _events(entry)
    )
    return ((0, StartSession()), *happening)


def _events(entry: EventEntry) -> Iterator[InEvent]:
    for fact, value in entry.set.items():
        yield SetFact(fact, value, SOURCE)
    if entry.jump is not None:
        yield Jump(entry.jump, JumpTiming(entry.timing), entry.transition)
    if entry.hint:
        yield GiveHint()
    if entry.say is not None:
        yield Announce(entry.say)
    if entry.signal is not None:
        yield SetSignal(_number(entry.signal))
    if entry.readability is not None:
        yield SetReadability(_number(entry.readability))
    if entry.plain_voice is not None:
        yield PlainVoice(entry.plain_voice, SOURCE)
    if entry.stop_plain_voice:
        yield StopPlainVoice(SOURCE)
    if entry.hold:
        yield Hold()
    if entry.resume:
        yield Resume()
    if entry.end:
        yield EndSession()


def _number(written: float | str) -> float | None:
    """A value of the operator's; None: the script has its way again."""
    return written if isinstance(written, float) else None
