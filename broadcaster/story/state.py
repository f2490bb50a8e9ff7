"""Where a broadcast stands: one small frozen value, of which the story makes the next."""

from dataclasses import dataclass, replace
from enum import StrEnum

from broadcaster.script.reception import FULL_SIGNAL
from broadcaster.script.transitions import Transition
from broadcaster.story.cue import Cue
from broadcaster.story.events import FactState, Jump, OutEvent, Part

SCRIPT = "the script"
"""Who says how strong the signal is, unless the operator does."""


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
    transition: Transition | None = None
    """What lies between, if this way has a transition of its own."""


@dataclass(frozen=True, slots=True)
class Spot:
    """Which item of a running order is on air, or was last."""

    place: int = -1
    """Counted from 0; -1 before the first."""
    time: int = 0
    """Which of the item's times, from 1."""
    again: bool = False
    """The item was kept from going out whole, and is sent again before the next."""


@dataclass(frozen=True, slots=True)
class Insert:
    """Something between two items of the running order, which then goes on where it was."""

    part: Part
    number: int = 0
    """The timetable's entry, or the rung of the segment's hints; both count from 0."""
    text: str = ""
    """What an announcement says."""
    spot: Spot = Spot()


@dataclass(frozen=True, slots=True)
class Due:
    """An entry of the timetable that waits for its frame, or for the item border after it."""

    frame: int
    entry: int
    lands: bool
    """It is to begin on its frame: what would run past it does not begin before."""


@dataclass(frozen=True, slots=True)
class Plain:
    """The plain voice that has the air."""

    text: str
    time: int = 0
    """How often it has begun to say it."""
    rested: bool = False
    """It was silent last, and speaks next."""


@dataclass(frozen=True, slots=True)
class Left:
    """A session that the operator ended or reset, as it stood on that frame."""

    state: "State"
    frame: int


@dataclass(frozen=True, slots=True)
class State:
    """Everything the story remembers. Frames count from the station's start.

    All that is a moment in a session's time (session_frame, segment_frame, quiet_frame, hint_frame
    and what is due by session time) is moved on by as much as the session is held.
    """

    facts: tuple[FactState, ...]
    """In the order in which the programme declares them."""
    phase: Phase = Phase.STAND_BY
    segment: str = ""
    spot: Spot = Spot()
    """Where the segment's running order stands."""
    rounds: int = 0
    """Rounds of this segment that are over."""
    session_frame: int = 0
    """When the session began (or, once ended, how long it was is told by the log)."""
    segment_frame: int = 0
    quiet_frame: int = 0
    """When the room last changed a fact."""
    held_frame: int | None = None
    """Since when the session is held."""
    jump: Jump | None = None
    """The operator's jump that waits for its moment."""
    way_out: WayOut | None = None
    """An exit taken at once, to be followed as soon as the item on air has given way."""

    strength: float = FULL_SIGNAL
    """How strong the signal is, as it was told last."""
    strength_by: str = SCRIPT
    """Who says so."""
    set_strength: float | None = None
    """What the operator says of the signal, before what the script says."""
    set_readability: float | None = None
    """How readable the operator wants everything, before what the script says."""
    plain: Plain | None = None
    """The plain voice, while it has the air; nothing else goes out then."""
    left: Left | None = None
    """What the operator may want back."""

    inserts: tuple[Insert, ...] = ()
    """What was put in and is not over; the last is on air, the others go on after it."""
    announcements: tuple[str, ...] = ()
    """What the operator wants to say at the next item border."""
    due: tuple[Due, ...] = ()
    """In the order of their frames; an entry waits once."""
    timetable_frame: int = -1
    """The session time up to which everything due by session time has been noted."""

    met: frozenset[str] = frozenset()
    """Milestones whose condition has held."""
    met_times: tuple[tuple[str, int], ...] = ()
    """When each was met: frames of session time."""
    overdue: frozenset[str] = frozenset()
    """Milestones not met by their target time; not met yet."""
    stalled: frozenset[str] = frozenset()
    """Milestones not met by their hint time; not met yet."""
    rungs: tuple[int, ...] = ()
    """For each ladder of hints how many of its rungs are behind, given or passed over."""
    hints: int = 0
    """Hints given in this session."""
    hint_waiting: str = ""
    """Why a hint waits for the next item border; empty: none does."""
    hint_frame: int | None = None
    """When the next automatic hint is due."""

    spent: frozenset[int] = frozenset()
    """Numbers of the `once` items that have gone out."""
    chosen: tuple[tuple[int, int], ...] = ()
    """For each `choose` that has gone out, by its number, which variant was last."""
    choices: int = 0
    """Choices made in this session."""


@dataclass(frozen=True, slots=True)
class Turn:
    """The story's answer: the next state, what to air, what to tell, whether to cut."""

    state: State
    cue: Cue | None = None
    """What goes on air at this border; None: the carrier alone, until an event comes."""
    events: tuple[OutEvent, ...] = ()
    cut: bool = False
    """The item on air must give way now."""
    transition: Transition | None = None
    """What was chosen to lie between, if a segment was left at this border."""
    again: bool = False
    """What is cut is to be sent again: ask Story.again() for the state."""


def moved(state: State, frames: int) -> State:
    """The same as counted from another frame 0: all that is a frame is so many later."""

    def later(frame: int | None) -> int | None:
        return None if frame is None else frame + frames

    return replace(
        state,
        session_frame=state.session_frame + frames,
        segment_frame=state.segment_frame + frames,
        quiet_frame=state.quiet_frame + frames,
        held_frame=later(state.held_frame),
        hint_frame=later(state.hint_frame),
        due=tuple(replace(due, frame=due.frame + frames) for due in state.due),
        left=state.left and replace(state.left, frame=state.left.frame + frames),
    )


def sent_again(state: State) -> State:
    """The item on air did not go out whole: it is sent again when its turn comes."""
    if not state.inserts:
        return replace(state, spot=replace(state.spot, again=state.spot.place >= 0))
    insert = state.inserts[-1]
    insert = replace(insert, spot=replace(insert.spot, again=True))
    return replace(state, inserts=(*state.inserts[:-1], insert))


def without_announcements(state: State) -> State:
    """Nothing that the operator wanted to say, nor is saying, goes out."""
    inserts = tuple(one for one in state.inserts if one.part is not Part.ANNOUNCEMENT)
    return replace(state, announcements=(), inserts=inserts)
