"""What can happen, as one list of small frozen classes.

The first half comes in through the one door: a key, a network message and a timetable all become
one of these. The second half goes out: to the as-run log, the console, the lamp. Frames are counts
of units.RATE since the station started.
"""

from dataclasses import asdict, dataclass
from enum import StrEnum
from typing import Any, TypeAlias

FactState: TypeAlias = bool | int


class JumpTiming(StrEnum):
    """When a jump is made."""

    NOW = "now"
    AFTER_ITEM = "after item"
    AFTER_ROUND = "after round"


# --- in -----------------------------------------------------------------------------------------


@dataclass(frozen=True, slots=True)
class StartSession:
    """The session begins with the opening segment."""


@dataclass(frozen=True, slots=True)
class EndSession:
    """The session is over; the station stands by."""


@dataclass(frozen=True, slots=True)
class Jump:
    """The operator moves the story to a segment."""

    segment: str
    timing: JumpTiming = JumpTiming.AFTER_ITEM


@dataclass(frozen=True, slots=True)
class TakeBackJump:
    """A jump that has not been made yet is forgotten."""


@dataclass(frozen=True, slots=True)
class SetFact:
    """The room, or the operator, says that a fact has a value."""

    fact: str
    value: FactState
    source: str = "operator"


@dataclass(frozen=True, slots=True)
class CloseStation:
    """The station goes off air for good: for the station itself, not for the story."""


InEvent: TypeAlias = StartSession | EndSession | Jump | TakeBackJump | SetFact


# --- out ----------------------------------------------------------------------------------------


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
    """A team's session ended; why: `exit`, `operator`."""

    frame: int
    why: str


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
class FactChanged:
    """A fact has a new value, and who said so."""

    frame: int
    fact: str
    value: FactState
    source: str


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


@dataclass(frozen=True, slots=True)
class Coming:
    """What goes out next if nothing happens: pairs of segment, item kind and text."""

    frame: int
    cues: tuple[tuple[str, str, str], ...]


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
    """The frame that is at the loudspeaker now, as near as the output can tell."""
    output: str
    playing: bool
    underruns: int
    buffered_frames: int
    peak_dbfs: float
    rms_dbfs: float


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
    | SegmentEntered
    | JumpWaiting
    | FactChanged
    | ItemStarted
    | ItemAired
    | Coming
    | Refused
    | Trouble
    | OutputState
    | StationClosed
)


def as_record(event: OutEvent) -> dict[str, Any]:
    """The event as plain values for a log: its class's name in words, then its fields."""
    name = type(event).__name__
    words = "".join(" " + c.lower() if c.isupper() else c for c in name).strip()
    return {"event": words, **asdict(event)}
