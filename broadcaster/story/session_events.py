"""What goes out of the session: its clock, segments, facts and team, and what the operator did.

Frames are counts of units.RATE since the station started.
"""

from dataclasses import dataclass

from broadcaster.script.transitions import Transition
from broadcaster.story.in_events import FactState, JumpTiming


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
    """A session goes on that the operator had ended or reset, or whose station had died.

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
    transition: Transition | None = None
    """What was chosen to lie between; None: what the script says."""


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
class SignalChanged:
    """The signal has another strength, 0 to 5; why: `the script`, `the operator`."""

    frame: int
    strength: float
    why: str


@dataclass(frozen=True, slots=True)
class ReadabilityChanged:
    """The operator wants another readability, 1 to 5; None: what the script says holds again."""

    frame: int
    grade: float | None


@dataclass(frozen=True, slots=True)
class MilestoneMet:
    """The team has done it. Told again where a session goes on, with the time that it was met."""

    frame: int
    milestone: str
    session_frames: int | None = None
    """What the session's clock showed then; None: an earlier version told it."""


@dataclass(frozen=True, slots=True)
class MilestoneOverdue:
    """The milestone's target time has come, and it is not met. Told again as MilestoneMet is."""

    frame: int
    milestone: str
    session_frames: int | None = None
    """What the session's clock showed then; None: an earlier version told it."""


@dataclass(frozen=True, slots=True)
class Stalled:
    """The milestone's hint time has come, and it is not met: the team has stalled.

    Told again as MilestoneMet is.
    """

    frame: int
    milestone: str
    session_frames: int | None = None
    """What the session's clock showed then; None: an earlier version told it."""


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
class Commanded:
    """The room passes a command on: by which way in it came, and the command in words.

    Facts and the plain voice name their source themselves, and are not told twice.
    """

    frame: int
    source: str
    command: str


@dataclass(frozen=True, slots=True)
class Refused:
    """An event from outside that cannot be obeyed, in a sentence; nothing changed."""

    frame: int
    sentence: str
