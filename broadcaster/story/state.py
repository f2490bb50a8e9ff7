"""Where a broadcast stands: one small frozen value, of which the story makes the next."""

from dataclasses import dataclass
from enum import StrEnum

from broadcaster.story.cue import Cue
from broadcaster.story.events import FactState, Jump, OutEvent


class Phase(StrEnum):
    """How far a team's session is."""

    STAND_BY = "stand by"
    ON_AIR = "on air"
    ENDED = "ended"


@dataclass(frozen=True, slots=True)
class WayOut:
    """A move to another segment (or to the end) that is settled, and why in a few words."""

    to: str
    why: str


@dataclass(frozen=True, slots=True)
class State:
    """Everything the story remembers. Frames count from the station's start."""

    facts: tuple[FactState, ...]
    """In the order in which the programme declares them."""
    phase: Phase = Phase.STAND_BY
    segment: str = ""
    place: int = -1
    """Which item of the running order is on air; -1 before the first."""
    time: int = 0
    """Which of its times is on air, from 1."""
    rounds: int = 0
    """Rounds of this segment that are over."""
    session_frame: int = 0
    """When the session began (or, once ended, how long it was is told by the log)."""
    segment_frame: int = 0
    quiet_frame: int = 0
    """When a fact last changed."""
    jump: Jump | None = None
    """The operator's jump that waits for its moment."""
    way_out: WayOut | None = None
    """An exit taken at once, to be followed as soon as the item on air has given way."""


@dataclass(frozen=True, slots=True)
class Turn:
    """The story's answer: the next state, what to air, what to tell, whether to cut."""

    state: State
    cue: Cue | None = None
    """What goes on air at this border; None: the carrier alone, until an event comes."""
    events: tuple[OutEvent, ...] = ()
    cut: bool = False
    """The item on air must give way now."""
