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
    segment: tuple[int, ...] = ()
    quiet: tuple[int, ...] = ()
    rounds: int = 0
    """From so many rounds on nothing changes; 0 where they are not asked for."""
    hints: int = 0
    """The same for hints given."""
    compares: bool = False
    """Whether quiet time and segment time are compared with each other."""
    equal_is: int = 0
    """If so: whether equal times count as less quiet (-1), as more (1), or as neither (0)."""
    inexact: bool = False
    """Whether times or counts are compared in another way, of which only parts are looked at."""


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
    return {name: count for name, count in (sums or {}).items() if count}


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
    flips: dict[str, set[int]] = {name: set() for name in (*CLOCKS, ROUNDS, HINTS)}
    orders = []
    inexact = False
    for node in comparisons(conditions):
        sums = _difference(node)
        asked = [name for name in flips if name in sums]
        if set(asked) == _QUIET_AND_SEGMENT and len(sums) == 2:
            orders.append(node)
        elif len(sums.keys() - {""}) > 1 and asked:
            inexact = True
            for name in asked:
                flips[name] |= {abs(sums.get("", 0)), abs(sums.get("", 0)) + 1}
        elif asked:
            flips[asked[0]] |= set(_flips(node, asked[0]))
    from_left = {session_frames - frame + 1 for frame in flips["time left"]}
    return Borders(
        session=_ordered(flips["session time"] | from_left),
        segment=_ordered(flips["segment time"]),
        quiet=_ordered(flips["quiet time"]),
        rounds=max(flips[ROUNDS], default=0),
        hints=max(flips[HINTS], default=0),
        compares=bool(orders),
        equal_is=_equal_is(orders),
        inexact=inexact,
    )


def _ordered(frames: set[int]) -> tuple[int, ...]:
    return tuple(sorted(frame for frame in frames if frame > 0))


def _flips(node: Comparison, name: str) -> list[int]:
    """The values of the only time or count at which the comparison turns."""
    sums = _difference(node)
    meets = -sums.get("", 0) // sums[name]
    return [value for value in (meets, meets + 1) if _turns(node, name, value)]


def _turns(node: Comparison, name: str, value: int) -> bool:
    told = (View({}, {name: Line(at)}, {name: at}) for at in (value - 1, value))
    before, then = (holds(Expression("", node), view) for view in told)
    return before != then


def _equal_is(orders: Iterable[Comparison]) -> int:
    """See Borders."""
    told = [
        [
            holds(
                Expression("", node),
                View({}, {"quiet time": Line(at), "segment time": Line(2)}, {}),
            )
            for node in orders
        ]
        for at in (1, 2, 3)
    ]
    if told[1] == told[2]:
        return 1
    return -1 if told[1] == told[0] else 0
