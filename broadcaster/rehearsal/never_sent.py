"""Items that can never go out, whatever the room does: their conditions leave no way.

An item goes out when its `when` holds, and no exit of its segment that is taken `at once` does:
that would have been tried first, on the same frame. So one way of holding the facts is looked for
in which all that is true. Times, counts and milestones are taken to be as they would have to be,
and where facts are compared with each other nothing is said: what is said never to go out never
does.
"""

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass
from itertools import product
from math import prod

from broadcaster.errors import Fault
from broadcaster.rehearsal.proof_values import comparisons, fact_values
from broadcaster.script.condition_range import outcomes
from broadcaster.script.condition_tree import (
    Both,
    Either,
    Expression,
    Met,
    NamedCount,
    NamedTime,
    Node,
    Not,
    Stalled,
    facts_in,
    nodes_of,
)
from broadcaster.script.facts import Fact
from broadcaster.script.loading import Examination
from broadcaster.script.programme import Item, Programme, Steps
from broadcaster.story.judging import View, holds

MOST_WAYS = 4_096
"""With more ways of holding the facts an item is taken for one that can go out."""
_FAR_BELOW = -(1 << 60)
"""What a number without a lower bound may be, below all that it is compared with."""
_NO_FACTS = (Met, NamedCount, NamedTime, Stalled)
_EITHER_WAY = frozenset({True, False})


@dataclass(frozen=True, slots=True)
class NeverSent:
    """An item that can never go out."""

    steps: Steps
    clue: str | None
    left_at_once: bool
    """Its `when` could hold, but never without an exit that is taken at once."""


def never_sent(programme: Programme) -> Iterator[NeverSent]:
    """Every such item, but those whose `when` is impossible by the bounds of its facts alone.

    Of those the script room speaks.
    """
    for steps, item in programme.items():
        if item.when is None or True not in outcomes(item.when.root, programme.facts):
            continue
        ways_out = _at_once(programme, steps)
        if not _can_hold(item.when, ways_out, programme.facts):
            alone = not _can_hold(item.when, (), programme.facts)
            yield NeverSent(steps, item.clue, left_at_once=not alone)


def never_sent_faults(found: Iterable[NeverSent], examination: Examination) -> Iterator[Fault]:
    """Clues that nobody can ever hear."""
    yield from (_told(each, examination) for each in found if each.clue)


def never_sent_advice(found: Iterable[NeverSent], examination: Examination) -> Iterator[Fault]:
    """Other items; they may have been turned off on purpose."""
    yield from (_told(each, examination) for each in found if not each.clue)


def _told(item: NeverSent, examination: Examination) -> Fault:
    what = "clue" if item.clue else "item"
    why, mend = "its `when` contradicts itself.", "Mend it, or take it out."
    if item.left_at_once:
        why = f"whenever its `when` holds, `{item.steps[1]}` is left at once."
        mend = "Mend its `when`, or take `at once` from the exit."
    return Fault(
        examination.place_of(*item.steps, "when"), f"This {what} can never go out: {why}", mend
    )


def can_go_out(programme: Programme, segment: str, item: Item) -> bool:
    """Whether an item of a segment may go out at all."""
    ways_out = _at_once(programme, ("segments", segment))
    return item.when is None or _can_hold(item.when, ways_out, programme.facts)


def _at_once(programme: Programme, steps: Steps) -> Sequence[Expression]:
    """When the segment of an item is left at once; the timetable's items go out in any."""
    if steps[0] != "segments":
        return ()
    exits = programme.segments[str(steps[1])].exits
    return tuple(way.when for way in exits if way.at_once and way.when)


def _can_hold(when: Expression, ways_out: Sequence[Expression], facts: Mapping[str, Fact]) -> bool:
    """Whether a condition may hold while none of the others does."""
    conditions = (when, *ways_out)
    if any(len(facts_in(node)) > 1 for node in comparisons(conditions)):
        return True
    boundless = {
        name for name, fact in facts.items() if fact.kind == "a number" and fact.from_ is None
    }
    values = fact_values(facts, conditions, {name: {_FAR_BELOW} for name in boundless})
    if prod(len(each) for each in values.values()) > MOST_WAYS:
        return True
    for held in product(*values.values()):
        view = View(dict(zip(values, held, strict=True)), {}, {})
        if True in _turns_out(when.root, view) and all(
            False in _turns_out(way.root, view) for way in ways_out
        ):
            return True
    return False


def _turns_out(node: Node, view: View) -> frozenset[bool]:
    """How a condition may turn out with these facts."""
    match node:
        case Not(operand):
            return frozenset(not way for way in _turns_out(operand, view))
        case Both(left, right):
            ways = product(_turns_out(left, view), _turns_out(right, view))
            return frozenset(one and other for one, other in ways)
        case Either(left, right):
            ways = product(_turns_out(left, view), _turns_out(right, view))
            return frozenset(one or other for one, other in ways)
    if any(isinstance(part, _NO_FACTS) for part in nodes_of(node)):
        return _EITHER_WAY
    return frozenset({holds(Expression("", node), view)})
