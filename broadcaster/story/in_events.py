"""What comes in through the one door: from a key, a message of the network, a timetable."""

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias

from broadcaster.script.transitions import Transition

FactState: TypeAlias = bool | int | str
"""What a fact can hold: script.facts has it too, but takes longer to import than events may."""


OPERATOR = "the operator"
"""Who did it, where a sentence tells why something happened."""


class JumpTiming(StrEnum):
    """When a jump is made."""

    NOW = "now"
    AFTER_ITEM = "after item"
    AFTER_ROUND = "after round"


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
    transition: Transition | None = None
    """What lies between; None: what the script says."""


@dataclass(frozen=True, slots=True)
class TakeBackJump:
    """A jump that has not been made yet is forgotten."""


@dataclass(frozen=True, slots=True)
class SetFact:
    """The room, or the operator, says that a fact has a value."""

    fact: str
    value: FactState
    source: str = "operator"
    progress: bool = True
    """Whether a change shows that the team gets on, and so ends the `quiet time`."""


@dataclass(frozen=True, slots=True)
class GiveHint:
    """The operator gives the next hint of the segment on air."""


@dataclass(frozen=True, slots=True)
class TakeBackHint:
    """A hint that waits for the end of the item is not given."""


@dataclass(frozen=True, slots=True)
class Announce:
    """The operator speaks, in the station's voice: after the item on air, or cutting it (now)."""

    text: str
    now: bool = False


@dataclass(frozen=True, slots=True)
class SetSignal:
    """The operator says how strong the signal is, 0 to 5, until this is taken back (None).

    A new session and a reset take it back, too.
    """

    strength: float | None


@dataclass(frozen=True, slots=True)
class SetReadability:
    """The operator says how readable everything is, 1 to 5, until this is taken back (None).

    It is so for what begins from now on. A new session and a reset take it back, too.
    """

    grade: float | None


@dataclass(frozen=True, slots=True)
class TakeBackAnnouncement:
    """The operator's last announcement that is not over: if it waits it is forgotten, if it is on
    air it is cut.
    """


@dataclass(frozen=True, slots=True)
class PlainVoice:
    """The station speaks without any period sound, for the real world: at once, again and again.

    All else leaves the air: what was on air is cut, announcements are forgotten, and a session is
    held. Without words in it, the text is the programme's own (`plain voice:`), which also goes
    out until another text is ready. Obeyed whenever it comes; a further one changes the text.
    """

    text: str = ""
    source: str = "operator"


@dataclass(frozen=True, slots=True)
class StopPlainVoice:
    """The plain voice falls silent. A session stays held until it is resumed."""

    source: str = "operator"


@dataclass(frozen=True, slots=True)
class Hold:
    """The story and its clock wait; the item on air is finished, then the carrier stays."""


@dataclass(frozen=True, slots=True)
class Resume:
    """The story goes on where it was held."""


@dataclass(frozen=True, slots=True)
class ResetSession:
    """Whatever was, is forgotten: the facts are as in the script, and the station stands by."""


@dataclass(frozen=True, slots=True)
class RestoreSession:
    """Undoes EndSession or ResetSession within restoring.RESTORE_FRAMES, before a new session.

    The story goes on where it was left, the item that was cut is sent again, and the session's
    clock goes on from where it stood, as after Resume.
    """


@dataclass(frozen=True, slots=True)
class TimetableDue:
    """An entry of the timetable is due (it counts from 0).

    With a mark it lands: it begins on that frame, or with pips so much earlier that the last one
    does. Without, it is due now.
    """

    entry: int
    mark_frame: int | None = None


@dataclass(frozen=True, slots=True)
class CloseStation:
    """The station goes off air for good: for the station itself, not for the story."""


InEvent: TypeAlias = (
    StartSession
    | EndSession
    | ResetSession
    | RestoreSession
    | Hold
    | Resume
    | Jump
    | TakeBackJump
    | SetFact
    | GiveHint
    | Announce
    | SetSignal
    | SetReadability
    | TakeBackAnnouncement
    | TakeBackHint
    | PlainVoice
    | StopPlainVoice
    | TimetableDue
)


@dataclass(frozen=True, slots=True)
class Placed:
    """An event that is to happen on a frame still to come, for the station and not the story."""

    event: InEvent
    frame: int
