"""What a repeating segment sends, asked of the machine itself: first, then round upon round.

A segment is played from its beginning until its rounds repeat: `once` items are spent, `every` and
conditions that ask for rounds have settled. From then on it is a loop, which is what whoever tunes
in hears; what went before is its lead-in. The loop may be of several rounds, where `every` is used.

Conditions that ask for facts or times make variants of a segment. Each is played with what it asks
for held still: every value of the facts that its items tell apart, and times from when the segment
may be entered on, as if the room last changed a fact as it was entered. Exits, hints, the timetable
and the operator leave it alone. A `choose` is taken to be its longest variant, always.
"""

from collections.abc import Callable, Iterator
from dataclasses import dataclass, replace
from itertools import islice, product

from broadcaster.rehearsal.proof_values import Borders, borders, fact_values
from broadcaster.script.condition_tree import Expression, Met, Stalled, facts_in, nodes_of
from broadcaster.script.facts import FactState
from broadcaster.script.programme import Choose, Item, Milestone, Programme, Segment, SetFacts
from broadcaster.story.cue import Cue
from broadcaster.story.events import StartSession
from broadcaster.story.judging import Line, View, holds
from broadcaster.story.machine import Story
from broadcaster.story.state import State
from broadcaster.units import frames_from_seconds

MOST_VARIANTS = 200
"""Beyond these the rest are not played, and the report says so."""
_MOST_ROUNDS = 1_000
_NOW = 1 << 45

LengthOf = Callable[[Item], int]
"""Frames of an item that is sent as it stands, for choosing the longest variant of a `choose`."""


@dataclass(frozen=True, slots=True)
class Loop:
    """What goes out: once, then again and again."""

    lead: tuple[Cue, ...]
    cues: tuple[Cue, ...]


@dataclass(frozen=True, slots=True)
class _Situation:
    """Facts and times that are held still."""

    facts: tuple[FactState, ...]
    session: int
    segment: int
    hints: int


def loops_of(programme: Programme, segment: str, length_of: LengthOf) -> tuple[list[Loop], bool]:
    """Every variant of a repeating segment that sounds another way; whether these are all."""
    bare = _bare(programme, segment, length_of)
    conditions = [item.when for item in bare.segments[segment].play if item.when]
    asks = borders(conditions, frames_from_seconds(programme.session))
    stalls = {frames_from_seconds(each.stalled_after) for each in _asked(programme, conditions)}
    asks = replace(asks, session=tuple(sorted({*asks.session, *stalls})))
    variants = list(islice(_situations(bare, segment, conditions, asks), MOST_VARIANTS + 1))
    found: dict[tuple[object, ...], Loop] = {}
    for situation in variants[:MOST_VARIANTS]:
        loop = _played(bare, segment, situation, asks)
        contents = tuple(cue.content for cue in loop.lead), tuple(cue.content for cue in loop.cues)
        found.setdefault(contents, loop)
    return list(found.values()), len(variants) <= MOST_VARIANTS and not asks.inexact


def _bare(programme: Programme, segment: str, length_of: LengthOf) -> Programme:
    """The programme with this segment alone, which nothing ends or interrupts."""
    play = tuple(_longest(item, length_of) for item in programme.segments[segment].play)
    alone = Segment.model_construct(
        play=play, repeat=True, exits=(), hints=(), automatic_hints=False
    )
    changes = {"segments": {segment: alone}, "opening": segment, "timetable": ()}
    return programme.model_copy(update=changes)


def _longest(item: Item, length_of: LengthOf) -> Item:
    if not isinstance(item, Choose):
        return item
    longest = max(item.choose, key=length_of)
    options = ("when", "once", "every", "times", "clue", "within")
    return longest.model_copy(update={name: getattr(item, name) for name in options})


def _situations(
    programme: Programme, segment: str, conditions: list[Expression], asks: Borders
) -> Iterator[_Situation]:
    """Those that some condition of the segment can tell apart."""
    play = programme.segments[segment].play
    remembers = any(isinstance(item, SetFacts) for item in play)
    milestones = [milestone.when for milestone in programme.milestones.values()]
    asked = [*conditions, *(each.when for each in _asked(programme, conditions))]
    own = {name for when in asked for name in facts_in(when.root)}
    values = fact_values(programme.facts, [*conditions, *milestones], {})
    ways = [values[name] if name in own else values[name][:1] for name in programme.facts]
    seen: set[object] = set()
    for facts in product(*ways):
        for (session, inside), hints in product(_moments(asks), range(asks.hints + 1)):
            view = _view(programme, facts, session, inside)
            told = tuple(
                holds(when, replace(view, counts={"rounds": rounds, "hints given": hints}))
                for when in conditions
                for rounds in range(asks.rounds + 1)
            )
            key = (told, facts if remembers else None)
            if key not in seen:
                seen.add(key)
                yield _Situation(facts, session, inside, hints)


def _asked(programme: Programme, conditions: list[Expression]) -> list[Milestone]:
    """The milestones that conditions ask for."""
    nodes = [node for when in conditions for node in nodes_of(when.root)]
    names = {node.milestone for node in nodes if isinstance(node, Met | Stalled)}
    return [each for name, each in programme.milestones.items() if {None, name} & names]


def _moments(asks: Borders) -> Iterator[tuple[int, int]]:
    """Session time and the time since the segment was entered, on every side of every border."""
    for entered in (0, *asks.session):
        since = {0, *asks.segment, *asks.quiet}
        since |= {border - entered for border in asks.session}
        for inside in sorted(frames for frames in since if frames >= 0):
            yield entered + inside, inside


def _view(programme: Programme, facts: tuple[FactState, ...], session: int, inside: int) -> View:
    left = frames_from_seconds(programme.session) - session
    times = {"session time": session, "segment time": inside, "quiet time": inside}
    lines = {name: Line(frames) for name, frames in {**times, "time left": left}.items()}
    late = {
        name
        for name, milestone in programme.milestones.items()
        if session >= frames_from_seconds(milestone.stalled_after)
    }
    held = dict(zip(programme.facts, facts, strict=True))
    met = {name for name, each in programme.milestones.items() if _is_met(each.when, held, lines)}
    return View(held, lines, {}, stalled=late - met, met=met)


def _is_met(when: Expression, facts: dict[str, FactState], lines: dict[str, Line]) -> bool:
    return holds(when, View(facts, lines, {"rounds": 0, "hints given": 0}))


def _played(programme: Programme, segment: str, situation: _Situation, asks: Borders) -> Loop:
    """The segment's rounds until one begins as an earlier one did."""
    story = Story(programme)
    state = replace(story.stand_by(), facts=situation.facts)
    state = story.receive(state, StartSession(), _NOW).state
    state = replace(state, session_frame=_NOW - situation.session, hints=situation.hints)
    period = 1
    for item in programme.segments[segment].play:
        period *= item.every or 1
    cues: list[Cue] = []
    begun: dict[object, int] = {}
    for _ in range(_MOST_ROUNDS):
        state, sent = _round(story, state, situation)
        cues += sent
        mark = _mark(state, asks, period)
        if mark in begun:
            return Loop(tuple(cues[: begun[mark]]), tuple(cues[begun[mark] :]))
        begun[mark] = len(cues)
    return Loop(tuple(cues), ())


def _round(story: Story, state: State, situation: _Situation) -> tuple[State, list[Cue]]:
    """One round; the state at its last item, whose next item begins the round after it."""
    cues: list[Cue] = []
    rounds = state.rounds
    while True:
        turn = story.advance(state, _NOW)
        moved = replace(
            turn.state,
            segment_frame=_NOW - situation.segment,
            quiet_frame=_NOW - situation.segment,
        )
        if turn.cue is None or (moved.rounds > rounds and cues):
            return state, cues
        state = moved
        rounds = state.rounds
        cues.append(turn.cue)


def _mark(state: State, asks: Borders, period: int) -> object:
    """What tells how the rounds after this go on."""
    rounds = state.rounds
    if rounds >= asks.rounds:
        rounds = asks.rounds + (rounds - asks.rounds) % period
    return rounds, state.facts, state.spent, state.met, state.stalled, state.spot
