"""The story's states as a proof sees them, and where the machine goes from each.

A state of the proof is a State of the machine in which all is forgotten that no condition can tell:
facts that may hold anything at any time, and how far times and counts are between two borders. Each
step puts a question to the machine itself, with the forgotten facts held in each way that matters.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace

from broadcaster.rehearsal.proof_bare import Bare, Ground, way_number
from broadcaster.rehearsal.proof_choices import Choices
from broadcaster.rehearsal.proof_plain import NOW, plain
from broadcaster.script.condition_tree import facts_in
from broadcaster.script.facts import FactState
from broadcaster.script.programme import END
from broadcaster.story.cue import Carrier
from broadcaster.story.events import (
    Jump,
    JumpTiming,
    SegmentEntered,
    SessionEnded,
    SetFact,
    StartSession,
)
from broadcaster.story.machine import Story
from broadcaster.story.state import Phase, State, Turn

FEW_LATCHED = 64
"""With up to so many values of facts that stay, each may change anywhere; with more only where it
is asked for, which leads to the same places by other ways."""


@dataclass(frozen=True, slots=True)
class Move:
    """An exit that was taken, or the timetable's or the operator's move."""

    segment: str
    way: int | None
    to: str


@dataclass(frozen=True, slots=True)
class Step:
    """One step of a broadcast: what happened, and to which state it led."""

    state: State
    facts: Mapping[str, FactState]
    """What must be held for it, of what is looked at."""
    moves: tuple[Move, ...] = ()
    clock: str = ""
    """The time that has come, if that is the step."""
    frames: int = 0
    sure: bool = True
    """It can be counted on."""
    circle: tuple[str, ...] = ()
    """Segments that led into each other and sent nothing."""
    deed: str = ""
    """What the operator or the timetable did."""


class Space:
    """The states of one programme."""

    def __init__(self, bare: Bare) -> None:
        self.bare = bare
        self.choices = Choices(bare)
        self.story = Story(bare.programme)
        self.questions = 0
        """How often the machine was asked."""
        self._names = tuple(bare.programme.facts)
        latched = [len(bare.values[name]) for name in bare.latched]
        size = 1
        for count in latched:
            size *= count
        self._anywhere = size <= FEW_LATCHED
        asks = [ground.borders for ground in bare.grounds.values()]
        self._equal_matters = any(each.compares and each.equal_is != 1 for each in asks)
        self._room_speaks = any(name not in bare.scripts for name in self._names)

    def opening(self) -> Iterator[Step]:
        """The steps into the opening segment."""
        state = self.story.receive(self.story.stand_by(), StartSession(), NOW).state
        return self._ask(state, "", {})

    def jump(self, state: State, segment: str) -> Iterator[Step]:
        """The steps by which an operator, or the timetable, moves to a segment."""
        self.questions += 1
        turn = self.story.receive(state, Jump(segment, JumpTiming.NOW), NOW)
        return self._ask(replace(turn.state, way_out=None), state.segment, {})

    def steps(self, state: State) -> Iterator[Step]:
        """Every step from a state."""
        if state.phase is Phase.ENDED:
            return
        ground = self.bare.grounds[state.segment]
        yield from self._borders(state, ground)
        yield from self._times(state, ground)
        yield from self._room(state, ground)
        for segment, sure in self.bare.at_any_time:
            for step in self.jump(state, segment):
                yield replace(step, sure=sure, deed="timetable")
        if state.hints < self.bare.hints:
            hinted = plain(replace(state, hints=state.hints + 1), self.bare)
            yield Step(hinted, {}, deed="hint")

    # --- borders: the item on air is over ----------------------------------------------------

    def _borders(self, state: State, ground: Ground) -> Iterator[Step]:
        quiet = [state]
        if (ground.borders.quiet or ground.borders.compares) and self._room_speaks:
            quiet.append(self._disturbed(state, ground))
        if self._equal_matters:
            quiet += [_a_frame_ago(each) for each in quiet if each.quiet_frame == NOW]
        for held in quiet:
            for facts in self.choices.over_border(held, ground):
                yield from self._ask(held, held.segment, facts)

    def _ask(
        self,
        state: State,
        segment: str,
        facts: dict[str, FactState],
        entered: frozenset[str] = frozenset(),
        turn: Turn | None = None,
    ) -> Iterator[Step]:
        """The steps over a border; a segment entered there may ask for more facts than the last.

        `turn`: the machine's answer, if it is known already.
        """
        holding = self._with(state, facts)
        if turn is None:
            self.questions += 1
            turn = self.story.advance(holding, NOW)
        moves = tuple(_moves(turn, segment))
        new = next((move.to for move in moves if move.to not in entered | {END}), None)
        if new is None:
            yield self._step(turn, moves, facts)
            return
        at_entry = replace(state, segment_frame=NOW, rounds=0)
        for found in self.choices.at_entry(at_entry, self.bare.grounds[new], facts):
            same = turn if self._with(state, found) == holding else None
            yield from self._ask(state, segment, found, entered | {new}, same)

    def _step(self, turn: Turn, moves: tuple[Move, ...], facts: Mapping[str, FactState]) -> Step:
        entered = [move.to for move in moves]
        idle = turn.cue is not None and isinstance(turn.cue.item, Carrier)
        circle = tuple(dict.fromkeys(entered)) if idle and len(set(entered)) < len(entered) else ()
        return Step(plain(turn.state, self.bare), facts, moves, circle=circle)

    # --- time passes -------------------------------------------------------------------------

    def _times(self, state: State, ground: Ground) -> Iterator[Step]:
        session = NOW - state.session_frame
        later = next((border for border in self.bare.session if border > session), None)
        if later is not None:
            yield self._tick(replace(state, session_frame=NOW - later), "session time", later)
        segment, quiet = NOW - state.segment_frame, NOW - state.quiet_frame
        later = next((border for border in ground.borders.segment if border > segment), None)
        if later is not None:
            moved = replace(state, segment_frame=NOW - later)
            if quiet >= segment:
                further = max(quiet, later + (quiet > segment))
                moved = replace(moved, quiet_frame=NOW - further)
            yield self._tick(moved, "segment time", later)
        later = next((border for border in ground.borders.quiet if border > quiet), None)
        if later is not None:
            moved = replace(state, quiet_frame=NOW - later)
            if segment >= quiet:
                further = max(segment, later + (segment > quiet))
                moved = replace(moved, segment_frame=NOW - further)
            yield self._tick(moved, "quiet time", later)

    def _tick(self, state: State, clock: str, frames: int) -> Step:
        self.questions += 1
        least = max(NOW - state.segment_frame, NOW - state.quiet_frame)
        reached = max((border for border in self.bare.session if border <= least), default=0)
        session = max(NOW - state.session_frame, reached)
        turn = self.story.tick(replace(state, session_frame=NOW - session), NOW)
        return Step(plain(turn.state, self.bare), {}, clock=clock, frames=frames)

    # --- the room, and whoever moves the story -----------------------------------------------

    def _room(self, state: State, ground: Ground) -> Iterator[Step]:
        """Facts that stay go on."""
        asked = {name for way in ground.ways if way.when for name in facts_in(way.when.root)}
        asked |= set(ground.asks_first)
        for name in sorted(self.bare.latched):
            if not (self._anywhere or name in asked):
                continue
            held = state.facts[self._names.index(name)]
            for value in _further(
                held, self.bare.values[name], self.bare.programme.facts[name].one_of
            ):
                self.questions += 1
                disturbed = self._disturbed(state, ground)
                turn = self.story.receive(disturbed, SetFact(name, value), NOW)
                turn_state = replace(turn.state, way_out=None, jump=None)
                yield Step(plain(turn_state, self.bare), {name: value})

    def _disturbed(self, state: State, ground: Ground) -> State:
        """The room has just changed a fact; if it matters, after the segment was entered."""
        if ground.borders.compares and state.segment_frame == NOW:
            state = replace(state, segment_frame=NOW - 1)
        return replace(state, quiet_frame=NOW)

    def _with(self, state: State, facts: Mapping[str, FactState]) -> State:
        if not facts:
            return state
        held = zip(self._names, state.facts, strict=True)
        return replace(state, facts=tuple(facts.get(name, value) for name, value in held))


def _a_frame_ago(state: State) -> State:
    """The same, a little later: the room is quiet for longer than a segment entered now lasts."""
    return replace(state, quiet_frame=NOW - 1, segment_frame=state.segment_frame - 1)


def _further(
    held: FactState, values: tuple[FactState, ...], names: tuple[str, ...]
) -> list[FactState]:
    """What a fact that stays may become."""
    if isinstance(held, bool):
        return [value for value in values if value != held and held == values[0]]
    if isinstance(held, int):
        return sorted(value for value in values if isinstance(value, int) and value > held)
    return [value for value in values if names.index(str(value)) > names.index(held)]


def _moves(turn: Turn, segment: str) -> Iterator[Move]:
    """The moves that the machine tells of, each from where the one before led."""
    for event in turn.events:
        if isinstance(event, SegmentEntered | SessionEnded):
            to = event.segment if isinstance(event, SegmentEntered) else END
            yield Move(segment, way_number(event.why), to)
            segment = to
