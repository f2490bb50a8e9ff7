"""What can happen, as small frozen classes.

What comes in is listed in in_events.py and known here too. What goes out stands below: to the
as-run log, the console, the lamp. Frames are counts of units.RATE since the station started.
"""

from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any, TypeAlias

from broadcaster.story.in_events import Announce as Announce
from broadcaster.story.in_events import CloseStation as CloseStation
from broadcaster.story.in_events import EndSession as EndSession
from broadcaster.story.in_events import FactState as FactState
from broadcaster.story.in_events import GiveHint as GiveHint
from broadcaster.story.in_events import Hold as Hold
from broadcaster.story.in_events import InEvent as InEvent
from broadcaster.story.in_events import Jump as Jump
from broadcaster.story.in_events import JumpTiming as JumpTiming
from broadcaster.story.in_events import Placed as Placed
from broadcaster.story.in_events import PlainVoice as PlainVoice
from broadcaster.story.in_events import ResetSession as ResetSession
from broadcaster.story.in_events import RestoreSession as RestoreSession
from broadcaster.story.in_events import Resume as Resume
from broadcaster.story.in_events import SetFact as SetFact
from broadcaster.story.in_events import StartSession as StartSession
from broadcaster.story.in_events import StopPlainVoice as StopPlainVoice
from broadcaster.story.in_events import TakeBackAnnouncement as TakeBackAnnouncement
from broadcaster.story.in_events import TakeBackJump as TakeBackJump
from broadcaster.story.in_events import TimetableDue as TimetableDue


class Part(StrEnum):
    """What an item on air belongs to."""

    RUNNING_ORDER = "running order"
    HINT = "hint"
    TIMETABLE = "timetable"
    ANNOUNCEMENT = "announcement"
    PLAIN_VOICE = "plain voice"


OF_THE_OPERATOR = (Part.ANNOUNCEMENT, Part.PLAIN_VOICE)
"""What nobody knew beforehand, and goes out whatever else wants to."""
WordTimes: TypeAlias = tuple[tuple[int, str], ...]
"""Words, each with the frame on which it begins, counted from the item's first."""
Marks: TypeAlias = tuple[tuple[int, int], ...]
"""The times that a key is down: from which frame on, and from which it is up again."""


@dataclass(frozen=True, slots=True)
class StationOpened:
    """Frame 0: what is playing where, and when by the wall clock."""

    programme: str
    callsign: str
    seed: int
    output: str
    why: str
    wall: str


@dataclass(frozen=True, slots=True)
class OutputStarted:
    """The output began to take frames, the first of them this one, at this time of day."""

    frame: int
    wall: str


@dataclass(frozen=True, slots=True)
class SessionStarted:
    """A team's session began."""

    frame: int


@dataclass(frozen=True, slots=True)
class SessionEnded:
    """A team's session ended; why: `exit: ...`, `the operator`, `reset`.

    Of the last two, RestoreSession undoes it for restoring.RESTORE_FRAMES.
    """

    frame: int
    why: str


@dataclass(frozen=True, slots=True)
class SessionRestored:
    """A session that the operator had ended or reset goes on as if it had been held.

    What its facts and milestones are is told again, and the segment is entered again.
    """

    frame: int


@dataclass(frozen=True, slots=True)
class SessionClock:
    """What the session's clock showed on a frame, and whether it runs from there on.

    Told whenever it starts or stops: at start and end, hold and resume, reset and restoring.
    Where it runs, a later frame shows `session_frames` and what has passed since `frame`.
    """

    frame: int
    session_frames: int
    running: bool


@dataclass(frozen=True, slots=True)
class Held:
    """The session is held: its clock stands still."""

    frame: int


@dataclass(frozen=True, slots=True)
class Resumed:
    """The session goes on."""

    frame: int


@dataclass(frozen=True, slots=True)
class SegmentEntered:
    """A segment began; why says in a few words what led there."""

    frame: int
    segment: str
    why: str


@dataclass(frozen=True, slots=True)
class JumpWaiting:
    """A jump waits for its moment, or (segment None) no longer waits."""

    frame: int
    segment: str | None
    timing: JumpTiming | None


@dataclass(frozen=True, slots=True)
class AnnouncementsWaiting:
    """What the operator wants to say at the next item border, in order; empty: nothing any more."""

    frame: int
    texts: tuple[str, ...]


@dataclass(frozen=True, slots=True)
class PlainVoiceStarted:
    """The plain voice took the air, or changed its text, and who wanted that."""

    frame: int
    text: str
    source: str


@dataclass(frozen=True, slots=True)
class PlainVoiceStopped:
    """The plain voice fell silent, and who wanted that."""

    frame: int
    source: str


@dataclass(frozen=True, slots=True)
class FactChanged:
    """A fact has a new value, and who said so."""

    frame: int
    fact: str
    value: FactState
    source: str


@dataclass(frozen=True, slots=True)
class MilestoneMet:
    """The team has done it."""

    frame: int
    milestone: str


@dataclass(frozen=True, slots=True)
class MilestoneOverdue:
    """The milestone's target time has come, and it is not met."""

    frame: int
    milestone: str


@dataclass(frozen=True, slots=True)
class Stalled:
    """The milestone's hint time has come, and it is not met: the team has stalled."""

    frame: int
    milestone: str


@dataclass(frozen=True, slots=True)
class HintGiven:
    """A hint goes on air: which rung of how many, from 1; why: `the operator`, `stalled`."""

    frame: int
    segment: str
    rung: int
    of: int
    why: str


@dataclass(frozen=True, slots=True)
class HintReady:
    """What GiveHint would say now; told whenever that changes. Rung 0, no text: there is none.

    A hint that waits for its border is not ready any more: it is as good as given.
    """

    frame: int
    segment: str
    rung: int
    of: int
    text: str


@dataclass(frozen=True, slots=True)
class TimetableDropped:
    """An entry of the timetable did not go out; in a sentence."""

    frame: int
    entry: int
    sentence: str


@dataclass(frozen=True, slots=True)
class ItemStarted:
    """An item went on air, and when it will end if nothing cuts it."""

    start_frame: int
    end_frame: int
    segment: str
    item: str
    text: str
    clue: str | None
    time: int
    times: int
    round: int
    part: str = Part.RUNNING_ORDER
    words: WordTimes = ()
    """Empty where no engine tells; as the voice was given them, which is not always as written."""


@dataclass(frozen=True, slots=True)
class Keyed:
    """An item of Morse went on air: when its key is down, in frames counted from `start_frame`.

    Told after its ItemStarted, ahead of what is heard. If it is cut, its ItemAired tells the end.
    """

    start_frame: int
    marks: Marks


@dataclass(frozen=True, slots=True)
class ItemAired:
    """The as-run entry: each frame of the broadcast lies in exactly one of these.

    `complete` is False where a jump or the end of the station cut the item.
    """

    start_frame: int
    end_frame: int
    segment: str
    item: str
    text: str
    clue: str | None
    time: int
    times: int
    round: int
    complete: bool
    part: str = Part.RUNNING_ORDER


@dataclass(frozen=True, slots=True)
class Coming:
    """What goes out next if nothing happens: pairs of segment, item kind and text."""

    frame: int
    cues: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class RoundEnds:
    """When the round on air will be over if nothing happens: told whenever that changes.

    The wait of a jump after the round; that of a jump after the item is ItemStarted.end_frame.
    """

    frame: int
    end_frame: int | None
    """None: no round is on air, or it is held."""
    exact: bool
    """False: the length of an item that was not on air yet is guessed."""


@dataclass(frozen=True, slots=True)
class Refused:
    """An event from outside that cannot be obeyed, in a sentence; nothing changed."""

    frame: int
    sentence: str


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something failed and was covered; the broadcast went on. In a sentence."""

    frame: int
    sentence: str


@dataclass(frozen=True, slots=True)
class OutputState:
    """How the output is doing: a few times a second."""

    frame: int
    """Frames produced so far."""
    heard_frame: int
    """The frame that is at the loudspeaker at `moment_s`, as near as the output can tell."""
    output: str
    playing: bool
    underruns: int
    buffered_frames: int
    peak_dbfs: float
    rms_dbfs: float
    moment_s: float = 0.0
    """By the clock of the machine, which its processes share: seconds since it was started."""
    delay_s: float = 0.0
    """How long a frame that the output took is on its way to the loudspeaker."""


@dataclass(frozen=True, slots=True)
class StationClosed:
    """The last thing a station says; the broadcast was this many frames long."""

    frame: int
    underruns: int = 0
    """How often its output had to do without it."""
    trouble: str = ""
    """What its output could not do at the end, in a sentence."""


OutEvent: TypeAlias = (
    StationOpened
    | OutputStarted
    | SessionStarted
    | SessionEnded
    | SessionRestored
    | SessionClock
    | Held
    | Resumed
    | SegmentEntered
    | JumpWaiting
    | AnnouncementsWaiting
    | PlainVoiceStarted
    | PlainVoiceStopped
    | FactChanged
    | MilestoneMet
    | MilestoneOverdue
    | Stalled
    | HintGiven
    | HintReady
    | TimetableDropped
    | ItemStarted
    | Keyed
    | ItemAired
    | Coming
    | RoundEnds
    | Refused
    | Trouble
    | OutputState
    | StationClosed
)


def name_of(kind: type[OutEvent] | type[InEvent]) -> str:
    """An event's class in words: `item aired`."""
    return "".join(" " + c.lower() if c.isupper() else c for c in kind.__name__).strip()


def as_record(event: OutEvent) -> dict[str, Any]:
    """The event as plain values for a log: its class's name in words, then its fields."""
    return {"event": name_of(type(event)), **asdict(event)}
