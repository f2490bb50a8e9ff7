"""Proofs over the story's machine itself: what can be reached, and whether a team can get stuck.

Every state that the story can come to is looked at, breadth first by the number of things that must
happen in the room. The machine (story.Story) says where each leads; there is no second description
of it. To make the states finite, all is forgotten that no condition can tell:

- The room may change any fact at any time, before the session too, to any value that conditions
  tell apart. A fact declared with `stays` only goes on, and holds its first value as the session
  begins. A fact to which the script gives (`set`) every value it is asked about is the script's
  own: the room leaves it alone.
- Each time stands at the last border that a condition names, and may reach the next before or after
  any other time does. Rounds and hints count as far as conditions count.
- Items that change nothing are pauses, and any of them may be long or short. The room changes facts
  between them; an exit taken `at once` may wait for the item's end. A timetable's entry by session
  time comes at its time and is never dropped as late.

What this can miss. Times are not added up: that a segment cannot last five minutes in a session of
four is not seen, so an exit said to be possible may not be; a trap found may, as rarely, need times
that never come together. Between two items the room makes one change of its own; a fact that no
condition recalls may hold in one segment what it did not in the one before. Where facts, or counts
and facts, are added, or several times compared (other than quiet time with segment time), only
values beside those that are named are looked at. The operator can always jump: no proof counts on
it, nor on an entry of the timetable that goes by the clock on the wall.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, field
from heapq import heappop, heappush
from itertools import count, product

from broadcaster.rehearsal.proof_bare import Bare, bare
from broadcaster.rehearsal.proof_choices import TooWideError
from broadcaster.rehearsal.proof_space import Space, Step
from broadcaster.script.condition_tree import facts_in
from broadcaster.script.facts import FactState
from broadcaster.script.programme import END, Programme
from broadcaster.story.judging import holds
from broadcaster.story.state import Phase, State

MOST_QUESTIONS = 40_000
"""How often the machine is asked before the proof gives up: some eight seconds."""
_PROGRESS_EVERY = 64

Progress = Callable[[int, int], None]
"""Told how many states of how many known ones have been looked at."""


@dataclass(frozen=True, slots=True)
class DeadExit:
    """An exit that is never taken."""

    segment: str
    number: int
    shadowed: bool
    """It could hold, but one above it always does so too."""


@dataclass(frozen=True, slots=True)
class Trap:
    """A state from which no ending can be reached."""

    steps: tuple[Step, ...]
    """A way to it with as little happening in the room as can be."""
    segment: str
    stays_in: tuple[str, ...]
    """The segments between which the broadcast then goes on for good."""


@dataclass(frozen=True, slots=True)
class Proof:
    """What came of looking at every state."""

    undecided: str = ""
    """Why not all of them could be looked at, in a sentence; then only `reached` means anything."""
    reached: frozenset[str] = frozenset()
    """The segments to which the story comes by itself."""
    dead: tuple[DeadExit, ...] = ()
    trap: Trap | None = None
    circles: tuple[tuple[str, ...], ...] = ()
    """Segments that can lead into each other without sending anything."""
    states: int = 0
    questions: int = 0
    """How often the machine was asked."""
    facts: dict[str, FactState] = field(default_factory=dict)
    """As a session begins."""


@dataclass(slots=True)
class _Known:
    """What is known of a state while the search goes on."""

    cost: tuple[int, int]
    """What must happen in the room, then how many steps."""
    before: State | None
    step: Step
    facts: dict[str, FactState]
    """What the facts hold on the way that was found first."""


def prove(
    programme: Programme,
    progress: Progress | None = None,
    most_questions: int = MOST_QUESTIONS,
) -> Proof:
    """Look at every state of a programme without faults."""
    return _Search(bare(programme), progress, most_questions).proof()


class _Search:
    def __init__(self, stripped: Bare, progress: Progress | None, most_questions: int) -> None:
        self._bare = stripped
        self._space = Space(stripped)
        self._progress = progress
        self._most = most_questions
        self._first = {name: fact.at_first for name, fact in stripped.programme.facts.items()}
        self._known: dict[State, _Known] = {}
        self._ahead: list[tuple[tuple[int, int], int, State]] = []
        self._count = count()
        self._done: set[State] = set()
        self._leads_back: dict[State, list[State]] = {}
        self._leads_on: dict[State, set[State]] = {}
        self._taken: set[tuple[str, int]] = set()
        self._circles: dict[tuple[str, ...], None] = {}
        self._undecided = ""

    def proof(self) -> Proof:
        """Search, then judge."""
        self._search(self._space.opening)
        own = set(self._done)
        reached = frozenset(state.segment for state in own if state.segment)
        trap = None if self._undecided else self._trap(own)
        for segment in self._bare.grounds:
            if segment not in reached and not self._undecided:
                self._search_from_jump(segment)
        return Proof(
            undecided=self._undecided,
            reached=reached,
            dead=() if self._undecided else tuple(self._dead()),
            trap=trap,
            circles=tuple(self._circles),
            states=len(self._done),
            questions=self._space.questions,
            facts=self._first,
        )

    # --- the search -------------------------------------------------------------------------------

    def _search_from_jump(self, segment: str) -> None:
        begun = next(iter(self._known))
        self._search(lambda: self._space.jump(begun, segment))

    def _search(self, roots: Callable[[], Iterator[Step]]) -> None:
        try:
            for step in roots():
                self._note(None, step)
            while self._ahead:
                cost, _, state = heappop(self._ahead)
                if state not in self._done and cost == self._known[state].cost:
                    self._look_at(state)
                if self._space.questions > self._most:
                    self._undecided = (
                        f"Not decided: after {self._space.questions} questions to the story "
                        f"{len(self._done)} states were looked at, and more are left."
                    )
                    return
        except TooWideError as error:
            where = f"`{error}`" if str(error) else "A segment"
            self._undecided = f"Not decided: {where} asks for too many facts at once."

    def _look_at(self, state: State) -> None:
        self._done.add(state)
        if self._progress and len(self._done) % _PROGRESS_EVERY == 0:
            self._progress(len(self._done), len(self._known))
        for step in self._space.steps(state):
            self._note(state, step)

    def _note(self, before: State | None, step: Step) -> None:
        for move in step.moves:
            if move.way is not None:
                self._taken.add((move.segment, move.way))
        if step.circle:
            self._circles[step.circle] = None
        known = self._known.get(before) if before else None
        facts = known.facts if known else self._first
        changes = sum(facts[name] != value for name, value in step.facts.items())
        if before and step.state != before:
            self._leads_on.setdefault(before, set()).add(step.state)
            if step.sure:
                self._leads_back.setdefault(step.state, []).append(before)
        events, steps = known.cost if known else (0, 0)
        cost = (events + changes + bool(step.deed), steps + 1)
        if step.state not in self._known or cost < self._known[step.state].cost:
            self._known[step.state] = _Known(cost, before, step, {**facts, **step.facts})
            heappush(self._ahead, (cost, next(self._count), step.state))

    # --- what it shows ----------------------------------------------------------------------------

    def _trap(self, own: set[State]) -> Trap | None:
        """The nearest state from which no ending can be reached, if the programme has one."""
        segments = self._bare.programme.segments.values()
        if not any(way.to == END for segment in segments for way in segment.exits):
            return None
        free = {state for state in own if state.phase is Phase.ENDED}
        ahead = list(free)
        while ahead:
            for state in self._leads_back.get(ahead.pop(), ()):
                if state not in free:
                    free.add(state)
                    ahead.append(state)
        stuck = own - free
        if not stuck:
            return None
        found = (state for state in self._known if state in stuck)
        nearest = min(found, key=lambda state: self._known[state].cost)
        return Trap(self._way_to(nearest), nearest.segment, self._stays_in(nearest))

    def _way_to(self, state: State) -> tuple[Step, ...]:
        steps: list[Step] = []
        at: State | None = state
        while at is not None:
            steps.append(self._known[at].step)
            at = self._known[at].before
        return tuple(reversed(steps))

    def _stays_in(self, state: State) -> tuple[str, ...]:
        seen, ahead = {state}, [state]
        while ahead:
            for after in self._leads_on.get(ahead.pop(), ()):
                if after not in seen:
                    seen.add(after)
                    ahead.append(after)
        on_air = {each.segment for each in seen}
        return tuple(name for name in self._bare.grounds if name in on_air)

    def _dead(self) -> Iterator[DeadExit]:
        for segment, ground in self._bare.grounds.items():
            for number in range(len(ground.ways)):
                if (segment, number) not in self._taken:
                    yield DeadExit(
                        segment, number, number > 0 and self._could_hold(segment, number)
                    )

    def _could_hold(self, segment: str, number: int) -> bool:
        when = self._bare.grounds[segment].ways[number].when
        if when is None:
            return True
        names = sorted(facts_in(when.root))
        for state in self._done:
            if state.segment == segment:
                held = dict(zip(self._first, state.facts, strict=True))
                ways = [
                    (held[name],) if name in self._bare.kept else self._bare.values[name]
                    for name in names
                ]
                for values in product(*ways):
                    facts = dict(zip(names, values, strict=True))
                    if holds(when, self._space.choices.view(state, facts, 1)):
                        return True
        return False
