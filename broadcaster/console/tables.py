"""What a rehearsal tells, as tables for a person."""

from collections.abc import Iterator

from rich.console import Console
from rich.table import Table
from rich.text import Text

from broadcaster.console.words import item_words, jump_words, one_line
from broadcaster.rehearsal.course import Course
from broadcaster.script.facts import plain
from broadcaster.story.events import (
    FactChanged,
    Held,
    HintGiven,
    ItemAired,
    JumpTiming,
    JumpWaiting,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    Part,
    ReadabilityChanged,
    Refused,
    Resumed,
    SegmentEntered,
    SessionEnded,
    SignalChanged,
    Stalled,
    TimetableDropped,
    Trouble,
)
from broadcaster.units import seconds_from_frames, session_clock


def show_course(course: Course) -> None:
    """The session from its beginning to its end, and a summary below."""
    table = Table(box=None, pad_edge=False, expand=False)
    table.add_column("at", justify="right", style="dim")
    table.add_column("segment")
    table.add_column("what happened")
    for event in course.events:
        for frame, segment, what in _row(event, course):
            table.add_row(session_clock(seconds_from_frames(frame)), segment, what)
    console = Console(highlight=False)
    console.print(table)
    console.print(_summary(course))


def _row(event: OutEvent, course: Course) -> Iterator[tuple[int, Text, Text]]:
    """The row of an event; none for what goes without saying."""
    if isinstance(event, SegmentEntered):
        yield event.frame, Text(event.segment, "bold"), Text(event.why)
    elif isinstance(event, ItemAired):
        if event in course.cut_clues:
            what = f"clue cut: {one_line(event.clue or '')}"
            yield event.end_frame, Text(), Text(what, "bold red")
        elif event.part in (Part.TIMETABLE, Part.ANNOUNCEMENT):
            what = f"{event.part}: {one_line(item_words(event.item, event.text))}"
            yield event.start_frame, Text(), Text(what)
    elif said := _said(event):
        frame, words, style = said
        yield frame, Text(), Text(words, style)


def _said(event: OutEvent) -> tuple[int, str, str] | None:
    """Frame, words and style of what is told in a line."""
    match event:
        case FactChanged():
            return event.frame, f"{event.fact} = {plain(event.value)} ({event.source})", ""
        case JumpWaiting(_, str(segment), JumpTiming() as timing, transition):
            return event.frame, f"jump to {segment}, {jump_words(timing, transition)}", ""
        case MilestoneMet():
            return event.frame, f"milestone {event.milestone}: met", "green"
        case MilestoneOverdue():
            return event.frame, f"milestone {event.milestone}: overdue", "yellow"
        case Stalled():
            return event.frame, f"milestone {event.milestone}: stalled", "yellow"
        case HintGiven():
            return event.frame, f"hint {event.rung} of {event.of} ({event.why})", "cyan"
        case SignalChanged():
            return event.frame, f"signal {event.strength:g} ({event.why})", ""
        case ReadabilityChanged(grade=grade):
            return event.frame, f"readability {grade:g}" if grade else "readability as written", ""
        case Held():
            return event.frame, "held", ""
        case Resumed():
            return event.frame, "goes on", ""
        case SessionEnded():
            return event.frame, f"the session is over ({event.why})", "bold"
        case Refused() | Trouble() | TimetableDropped():
            return event.frame, one_line(event.sentence), "red"
    return None


def _summary(course: Course) -> str:
    whole = sum(clue.complete for clue in course.clues)
    met = sum(pace.met is not None for pace in course.paces)
    parts = [
        session_clock(seconds_from_frames(course.end)),
        _counted(len(course.visits), "segment"),
        f"{_counted(whole, 'clue')} sent whole",
        f"{len(course.cut_clues)} cut",
        _counted(len(course.hints), "hint"),
    ]
    if course.paces:
        parts.append(f"{met} of {_counted(len(course.paces), 'milestone')} met")
    return f"\n{course.programme.programme}: {', '.join(parts)}."


def _counted(count: int, what: str) -> str:
    return f"{count} {what}{'' if count == 1 else 's'}"
