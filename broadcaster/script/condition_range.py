"""Which way a condition can turn out at all, given what its facts can hold.

Each part is judged by itself, so a condition that contradicts itself (`open and not open`) passes
for possible; what is said to be impossible is so.
"""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from math import inf

from broadcaster.script.condition_tree import (
    Both,
    Comparison,
    DurationLiteral,
    Either,
    FactName,
    NamedCount,
    NamedTime,
    Node,
    Not,
    NumberLiteral,
    Sum,
    YesNoLiteral,
)
from broadcaster.script.facts import Fact

_EITHER_WAY = frozenset({True, False})


@dataclass(frozen=True, slots=True)
class Span:
    """The least and the most that a number or a time can be."""

    least: float
    most: float

    def __sub__(self, other: "Span") -> "Span":
        return Span(self.least - other.most, self.most - other.least)

    def __add__(self, other: "Span") -> "Span":
        return Span(self.least + other.least, self.most + other.most)


def outcomes(node: Node, facts: Mapping[str, Fact | None]) -> frozenset[bool]:
    """The ways in which a part of a condition that is a yes or no can turn out."""
    match node:
        case YesNoLiteral(value):
            return frozenset({value})
        case Not(operand):
            return frozenset(not way for way in outcomes(operand, facts))
        case Both(left, right):
            ways = _pairs(left, right, facts)
            return frozenset(one and other for one, other in ways)
        case Either(left, right):
            ways = _pairs(left, right, facts)
            return frozenset(one or other for one, other in ways)
        case Comparison():
            return _compared(node, facts)
        case _:
            return _EITHER_WAY


def impossible(node: Node, facts: Mapping[str, Fact | None]) -> Iterator[Comparison]:
    """The comparisons that never hold."""
    match node:
        case Not(operand):
            yield from impossible(operand, facts)
        case Both() | Either():
            yield from impossible(node.left, facts)
            yield from impossible(node.right, facts)
        case Comparison() if True not in _compared(node, facts):
            yield node


def _pairs(
    left: Node, right: Node, facts: Mapping[str, Fact | None]
) -> Iterator[tuple[bool, bool]]:
    return ((one, other) for one in outcomes(left, facts) for other in outcomes(right, facts))


def _compared(node: Comparison, facts: Mapping[str, Fact | None]) -> frozenset[bool]:
    left, right = _span(node.left, facts), _span(node.right, facts)
    if left is None or right is None:
        return _EITHER_WAY
    apart = left - right
    least, most = apart.least, apart.most
    can, need = {
        "=": (least <= 0 <= most, least == most == 0),
        "!=": (not least == most == 0, not least <= 0 <= most),
        "<": (least < 0, most < 0),
        "<=": (least <= 0, most <= 0),
        ">": (most > 0, least > 0),
        ">=": (most >= 0, least >= 0),
    }[node.operator]
    return frozenset(way for way, may_be in ((True, can), (False, not need)) if may_be)


def strengths(node: Node, facts: Mapping[str, Fact | None]) -> Span:
    """What a signal's strength can be, where what is no number counts 1 if it holds."""
    if isinstance(node, Sum):
        one, other = strengths(node.left, facts), strengths(node.right, facts)
        return one + other if node.sign == 1 else one - other
    span = _span(node, facts)
    if span is None:
        ways = outcomes(node, facts)
        span = Span(min(ways), max(ways))
    return span


def _span(node: Node, facts: Mapping[str, Fact | None]) -> Span | None:
    """What a number or a time can be; None for what is neither."""
    match node:
        case NumberLiteral(value) | DurationLiteral(value):
            return Span(value, value)
        case NamedCount():
            return Span(0, inf)
        case NamedTime(name):
            return Span(-inf if name == "time left" else 0, inf)
        case FactName(name):
            return _fact_span(facts.get(name))
        case Sum(sign, left, right):
            one, other = _span(left, facts), _span(right, facts)
            if one is None or other is None:
                return None
            return one + other if sign == 1 else one - other
        case _:
            return None


def _fact_span(fact: Fact | None) -> Span | None:
    if fact is None or fact.kind != "a number":
        return None
    return Span(-inf if fact.from_ is None else fact.from_, inf if fact.to is None else fact.to)
