"""The console's words: short forms for what the panels and the log say."""

import unicodedata
from functools import lru_cache

from broadcaster.script.programme import Pips, Say
from broadcaster.story.events import (
    Held,
    HintGiven,
    ItemAired,
    ItemStarted,
    JumpTiming,
    Keyed,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    PlainVoiceStarted,
    PlainVoiceStopped,
    Resumed,
    SessionRestored,
    Stalled,
    StationOpened,
    TimetableDropped,
)

WHEN = {
    JumpTiming.NOW: "now",
    JumpTiming.AFTER_ITEM: "after this item",
    JumpTiming.AFTER_ROUND: "after this round",
}
"""When a jump is made, as the operator says it."""


@lru_cache(maxsize=512)
def one_line(text: str) -> str:
    """The text on one line: no line break, and no control character that a terminal would obey."""
    shown = (" " if unicodedata.category(letter).startswith("C") else letter for letter in text)
    return " ".join("".join(shown).split())


def item_words(kind: str, text: str) -> str:
    """An item in a few words: its kind where the text alone would not tell."""
    if kind in (Say.kind, Pips.kind) or text == kind:
        return text
    return f"{kind} {text}"


def session_words(event: OutEvent) -> tuple[int, str] | None:
    """What becomes of the session, of the team and of the plain voice: the frame and a sentence.

    None: it is another event.
    """
    match event:
        case MilestoneMet(frame, milestone):
            return frame, f"Milestone {milestone} is met."
        case MilestoneOverdue(frame, milestone):
            return frame, f"Milestone {milestone} is overdue."
        case Stalled(frame, milestone):
            return frame, f"The team has stalled: {milestone}."
        case HintGiven():
            return event.frame, f"Hint {event.rung} of {event.of}: {event.why}."
        case TimetableDropped():
            return event.frame, event.sentence
        case Held(frame):
            return frame, "The session is held."
        case Resumed(frame):
            return frame, "The session goes on."
        case SessionRestored(frame):
            return frame, "The session is brought back and goes on where it was left."
        case PlainVoiceStarted():
            said = one_line(event.text)
            return event.frame, f"PLAIN VOICE on air, by {event.source}: {said}"
        case PlainVoiceStopped():
            return event.frame, f"The plain voice has stopped, by {event.source}."
    return None


def frame_of(event: OutEvent) -> int:
    """The frame that an event belongs to: an item's, when it began or was over."""
    match event:
        case StationOpened():
            return 0
        case ItemStarted() | Keyed():
            return event.start_frame
        case ItemAired():
            return event.end_frame
        case _:
            return event.frame


def frequency_words(hertz: float) -> str:
    """`91.3 MHz`, `6215 kHz`: megahertz from the FM band on; nothing where it is not known."""
    if not hertz:
        return ""
    return f"{hertz / 1e6:g} MHz" if hertz >= 30e6 else f"{hertz / 1e3:g} kHz"


def level_words(dbfs: float) -> str:
    """A level in whole decibels; silence in words."""
    return "silent" if dbfs == float("-inf") else f"{dbfs:.0f} dB"
