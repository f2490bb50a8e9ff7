"""The console's words: short forms for what the panels and the log say."""

import unicodedata
from functools import lru_cache

from broadcaster.script.programme import Pips, Say
from broadcaster.script.transitions import Transition
from broadcaster.story.cue import Carrier
from broadcaster.story.events import (
    Commanded,
    Held,
    HintGiven,
    JumpTiming,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    PlainVoiceStarted,
    PlainVoiceStopped,
    ReadabilityChanged,
    Resumed,
    SessionRestored,
    SettingsRead,
    SignalChanged,
    Stalled,
    TimetableDropped,
)
from broadcaster.units import seconds_from_frames, session_clock

WHEN = {
    JumpTiming.NOW: "now",
    JumpTiming.AFTER_ITEM: "after this item",
    JumpTiming.AFTER_ROUND: "after this round",
}
"""When a jump is made, as the operator says it."""
CARRIER = "the carrier alone"
AS_WRITTEN = "as the script says"


def jump_words(timing: JumpTiming, transition: Transition | None) -> str:
    """When and how a jump is made: `after this item, with a fade`."""
    return f"{WHEN[timing]}, with a {transition}" if transition else WHEN[timing]


@lru_cache(maxsize=512)
def one_line(text: str) -> str:
    """The text on one line: no line break, and no control character that a terminal would obey."""
    shown = (" " if unicodedata.category(letter).startswith("C") else letter for letter in text)
    return " ".join("".join(shown).split())


def item_words(kind: str, text: str) -> str:
    """An item in a few words: its kind where the text alone would not tell."""
    if kind == Carrier.kind:
        return CARRIER
    if kind in (Say.kind, Pips.kind) or text == kind:
        return text
    return f"{kind} {text}"


def session_words(event: OutEvent) -> tuple[int, str] | None:
    """What becomes of the session, the team, reception and the plain voice, and who commanded it.

    A frame and a sentence; None: it is another event.
    """
    match event:
        case MilestoneMet(frame, milestone, int() as session_frames):
            at = session_clock(seconds_from_frames(session_frames))
            return frame, f"Milestone {milestone} is met at {at}."
        case MilestoneMet(frame, milestone):
            return frame, f"Milestone {milestone} is met."
        case MilestoneOverdue(frame, milestone):
            return frame, f"Milestone {milestone} is overdue."
        case Stalled(frame, milestone):
            return frame, f"The team has stalled: {milestone}."
        case HintGiven():
            return event.frame, f"Hint {event.rung} of {event.of} is given ({event.why})."
        case TimetableDropped() | SettingsRead():
            return event.frame, event.sentence
        case SignalChanged():
            return event.frame, f"The signal is at {event.strength:g}, says {event.why}."
        case ReadabilityChanged(frame, None):
            return frame, f"Readability is {AS_WRITTEN}."
        case ReadabilityChanged(frame, grade):
            return frame, f"Readability is to be {grade:g}."
        case Held(frame):
            return frame, "The session is held."
        case Resumed(frame):
            return frame, "The session goes on."
        case SessionRestored(frame):
            return frame, "The session is brought back and goes on where it was left."
        case PlainVoiceStarted():
            said = one_line(event.text)
            return event.frame, f"PLAIN VOICE on air, by {event.source}: {said}"
        case Commanded():
            return event.frame, f"Commanded by {event.source}: {one_line(event.command)}."
        case PlainVoiceStopped():
            return event.frame, f"The plain voice has stopped, by {event.source}."
    return None


def frequency_words(hertz: float) -> str:
    """`91.3 MHz`, `6215 kHz`: megahertz from the FM band on; nothing where it is not known."""
    if not hertz:
        return ""
    return f"{hertz / 1e6:g} MHz" if hertz >= 30e6 else f"{hertz / 1e3:g} kHz"


def level_words(dbfs: float) -> str:
    """A level in whole decibels; silence in words."""
    return "silent" if dbfs == float("-inf") else f"{dbfs:.0f} dB"
