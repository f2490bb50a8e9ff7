"""What conditions can tell apart: a few values of each fact, and the borders of times and counts.

Between two of these nothing that a condition asks changes, so that looking at them is looking at
all. (Where a comparison adds several facts, or compares several times, it is not: see proof.py.)
"""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass

from broadcaster.script.condition_tree import (
    CLOCKS,
    Comparison,
    DurationLiteral,
    Expression,
    FactName,
    NamedCount,
    NamedTime,
    NameLiteral,
    Node,
    NumberLiteral,
    Sum,
    facts_in,
    nodes_of,
)
from broadcaster.script.facts import Fact, FactState
from broadcaster.story.judging import Line, View, holds

_FEW = 16
"""A number with bounds that can hold up to so many values is looked at in full."""
_QUIET_AND_SEGMENT = {"quiet time", "segment time"}
ROUNDS, HINTS = "rounds", "hints given"


@dataclass(frozen=True, slots=True)
class Borders:
    """The times, in frames, and counts from which on a condition may turn out otherwise."""

    session: tuple[int, ...] = ()
    """Of the session's time."""
    segment: tuple[int, ...] = ()
    """Of the segment's time and the quiet time, which share theirs."""
    rounds: int = 0
    """From so many rounds on nothing changes; 0 where they are not asked for."""
    hints: int = 0
    """The same for hints given."""
    asks_segment: bool = False
    asks_quiet: bool = False
    compares: bool = False
    """Whether quiet time and segment time are compared with each other."""
    inexact: bool = False
    """Whether times are compared in another way, of which only the parts are looked at."""


def linear(node: Node) -> dict[str, int] | None:
    """A number or time as a sum of names, each so many times, and "" for what is added; or None."""
    match node:
        case NumberLiteral(value) | DurationLiteral(value):
            return {"": value}
        case FactName(name) | NamedTime(name) | NamedCount(name):
            return {name: 1}
        case Sum(sign, left, right):
            one, other = linear(left), linear(right)
            if one is None or other is None:
                return None
            names = [*one, *(name for name in other if name not in one)]
            return {name: one.get(name, 0) + sign * other.get(name, 0) for name in names}
        case _:
            return None


def comparisons(conditions: Iterable[Expression]) -> list[Comparison]:
    """Every comparison in some conditions."""
    nodes = (node for condition in conditions for node in nodes_of(condition.root))
    return [node for node in nodes if isinstance(node, Comparison)]


def _difference(node: Comparison) -> dict[str, int]:
    """Left minus right, without names that cancel out; empty where neither is a number."""
    sums = linear(Sum(-1, node.left, node.right, 0))
    return {name: count for name, count in (sums or {}).items() if count or not name}


# --- facts ----------------------------------------------------------------------------------------


def fact_values(
    facts: Mapping[str, Fact], conditions: Iterable[Expression], also: Mapping[str, set[FactState]]
) -> dict[str, tuple[FactState, ...]]:
    """For each fact the values that conditions tell apart; what it holds at first is the first.

    `also`: values that the script itself gives to facts.
    """
    known = comparisons(conditions := tuple(conditions))
    asked = set().union(*(facts_in(condition.root) for condition in conditions))
    return {
        name: _values(name, fact, known, also.get(name, set()))
        if name in asked
        else (fact.at_first,)
        for name, fact in facts.items()
    }


def _values(
    name: str, fact: Fact, known: Iterable[Comparison], also: set[FactState]
) -> tuple[FactState, ...]:
    if isinstance(fact.at_first, bool):
        return (fact.at_first, not fact.at_first)
    about = [node for node in known if name in facts_in(node)]
    alone = [Expression("", node) for node in about if _is_about_one(node)]
    lone = len(alone) == len(about)
    kept: dict[object, FactState] = {}
    for value in (fact.at_first, *sorted(also, key=str), *_candidates(name, fact, about)):
        told = tuple(holds(each, _fact_view(name, value)) for each in alone)
        kept.setdefault(told if lone else value, value)
    return tuple(kept.values())


def _is_about_one(node: Comparison) -> bool:
    names = {
        part.name for part in nodes_of(node) if isinstance(part, FactName | NamedTime | NamedCount)
    }
    return len(names) == 1


def _fact_view(name: str, value: FactState) -> View:
    return View({name: value}, {}, {})


def _candidates(name: str, fact: Fact, about: Iterable[Comparison]) -> Iterator[FactState]:
    if fact.one_of:
        yield from _names(fact, about)
        return
    if fact.from_ is not None and fact.to is not None and fact.to - fact.from_ < _FEW:
        yield from range(fact.from_, fact.to + 1)
        return
    meets = {-sums.get("", 0) // sums.get(name, 1) for sums in map(_difference, about)}
    numbers = sorted({number + step for number in meets for step in (-1, 0, 1)})
    # A count, which begins at 0 or above and is compared with nothing less, stays there.
    counts = fact.from_ is None and min((*meets, int(fact.at_first))) >= 0
    yield from (
        number for number in numbers if fact.refusal(number) is None and not (counts and number < 0)
    )


def _names(fact: Fact, about: Iterable[Comparison]) -> Iterator[str]:
    """The names that are asked for, and one for all others."""
    asked = {
        part.value for node in about for part in nodes_of(node) if isinstance(part, NameLiteral)
    }
    yield from (name for name in fact.one_of if name in asked)
    yield from [name for name in fact.one_of if name not in asked][:1]


# --- times and counts -----------------------------------------------------------------------------


def borders(conditions: Iterable[Expression], session_frames: int) -> Borders:
    """Where times and counts make a difference to some conditions."""
    session: set[int] = set()
    segment: set[int] = set()
    rounds = hints = 0
    compares = inexact = False
    asked: set[str] = set()
    for node in comparisons(conditions):
        sums = _difference(node)
        clocks = [name for name in CLOCKS if name in sums]
        asked |= set(clocks)
        constant = abs(sums.get("", 0))
        rounds = max(rounds, constant + 1) if ROUNDS in sums else rounds
        hints = max(hints, constant + 1) if HINTS in sums else hints
        inexact = inexact or (len(sums.keys() - {""}) > 1 and bool(sums.keys() & {ROUNDS, HINTS}))
        if set(clocks) == _QUIET_AND_SEGMENT and not constant:
            compares = True
        elif len(clocks) > 1:
            inexact = True
        elif clocks:
            flips = _flips(node, clocks[0])
            if clocks[0] == "time left":
                session |= {session_frames - frame + 1 for frame in flips}
            else:
                (session if clocks[0] == "session time" else segment).update(flips)
    return Borders(
        session=tuple(sorted(frame for frame in session if frame > 0)),
        segment=tuple(sorted(frame for frame in segment if frame > 0)),
        rounds=rounds,
        hints=hints,
        asks_segment="segment time" in asked,
        asks_quiet="quiet time" in asked,
        compares=compares,
        inexact=inexact,
    )


def _flips(node: Comparison, clock: str) -> list[int]:
    """The values of the only clock at which the comparison turns out otherwise than just below."""
    sums = _difference(node)
    meets = -sums.get("", 0) // sums[clock]
    expression = Expression("", node)

    def truth(value: int) -> bool:
        return holds(expression, View({}, {clock: Line(value)}, {}))

    return [value for value in (meets, meets + 1) if truth(value) != truth(value - 1)]
