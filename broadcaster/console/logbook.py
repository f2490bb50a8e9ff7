"""The logbook: what happened, one plain sentence a line, with the time of day it belongs to."""

from collections import deque
from datetime import datetime, timedelta

from broadcaster.console.view import LogLine, Weight
from broadcaster.console.words import item_words, one_line, session_words
from broadcaster.script.programme import Pause
from broadcaster.story.cue import Carrier, fact_said
from broadcaster.story.events import (
    FactChanged,
    ItemAired,
    OutEvent,
    Refused,
    SegmentEntered,
    SessionEnded,
    SessionStarted,
    StationClosed,
    StationOpened,
    Trouble,
)

LINES = 200
"""How many lines the screen remembers; the as-run log keeps them all."""
FRESH = timedelta(seconds=15)
"""How long a trouble, a refusal or a note stays in the message line."""
ALARMS = (Weight.REFUSED, Weight.TROUBLE)
"""Kinds of line that the message line says before a note."""
WORDLESS = (Pause.kind, Carrier.kind)
"""Kinds of item that leave no line unless they were cut."""


class Logbook:
    """The last lines."""

    def __init__(self) -> None:
        self._kept: deque[LogLine] = deque(maxlen=LINES)
        self._alert: tuple[LogLine, datetime] | None = None
        self.lines: tuple[LogLine, ...] = ()
        """Oldest first."""

    def write(self, at: datetime, weight: Weight, sentence: str) -> None:
        """Add a line."""
        line = LogLine(f"{at:%H:%M:%S}", weight, one_line(sentence))
        self._kept.append(line)
        self.lines = tuple(self._kept)
        fresh = self.alert(at)
        alarmed = fresh is not None and fresh.weight in ALARMS
        if weight in ALARMS or (weight is Weight.NOTE and not alarmed):
            self._alert = (line, at)

    def forget_refusal(self) -> None:
        """A refusal has been read: it leaves the message line."""
        if self._alert and self._alert[0].weight is Weight.REFUSED:
            self._alert = None

    def alert(self, now: datetime) -> LogLine | None:
        """What the message line says: the last trouble, refusal or note, while it is fresh."""
        if self._alert is None or now - self._alert[1] >= FRESH:
            return None
        return self._alert[0]


def log_words(event: OutEvent) -> tuple[int, Weight, str] | None:
    """The frame, the kind and the sentence that an event leaves in the log; None: none."""
    match event:
        case StationOpened():
            told = f"{event.callsign} is open. Output: {event.output} ({event.why})."
            return 0, Weight.STORY, told
        case StationClosed() if event.trouble:
            return event.frame, Weight.TROUBLE, event.trouble
        case StationClosed():
            return event.frame, Weight.STORY, "The station is off air."
        case SessionStarted():
            return event.frame, Weight.STORY, "The session begins."
        case SessionEnded():
            return event.frame, Weight.STORY, f"The session is over: {event.why}."
        case SegmentEntered():
            return event.frame, Weight.STORY, f"Segment {event.segment}: {event.why}."
        case FactChanged():
            told = f"{event.fact} is {fact_said(event.value)}, says {event.source}."
            return event.frame, Weight.STORY, told
        case ItemAired():
            return _aired(event)
        case Refused():
            return event.frame, Weight.REFUSED, event.sentence
        case Trouble():
            return event.frame, Weight.TROUBLE, event.sentence
        case _:
            pacing = session_words(event)
            return (pacing[0], Weight.STORY, pacing[1]) if pacing else None


def _aired(event: ItemAired) -> tuple[int, Weight, str] | None:
    """A line for an item that was on air, dated when it was over."""
    if event.complete and event.item in WORDLESS:
        return None
    where = f"{event.segment}: " if event.segment else ""
    clue = f" (clue: {event.clue})" if event.clue else ""
    told = f"{where}{item_words(event.item, event.text)}{clue}"
    if event.complete:
        return event.end_frame, Weight.AIRED, told
    return event.end_frame, Weight.CUT, f"CUT {told}"
