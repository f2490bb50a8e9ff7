"""What a condition is made of: a tree of small frozen classes, and the names of the language.

Every node knows its `offset`, where it stands in the condition's text; an operator's is its own.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Literal, TypeAlias

CLOCKS = ("session time", "segment time", "quiet time", "time left")
"""Named times: since the session began, since this segment was entered, since the room last
changed a fact, and until the session's planned end."""

COUNTS = ("rounds", "hints given")
"""Named counts: rounds played in this segment since it was entered, and hints given in this
session."""

RESERVED = ("and", "or", "not", "yes", "no", "stalled", "met", *COUNTS)
"""Words of the language; a fact cannot have such a name."""


@dataclass(frozen=True, slots=True)
class YesNoLiteral:
    """`yes` or `no`."""

    value: bool
    offset: int = 0


@dataclass(frozen=True, slots=True)
class NumberLiteral:
    """A whole number."""

    value: int
    offset: int = 0


@dataclass(frozen=True, slots=True)
class DurationLiteral:
    """A length of time, in frames of units.RATE."""

    frames: int
    offset: int = 0


@dataclass(frozen=True, slots=True)
class NameLiteral:
    """A name in quotes: what a fact that is one of a list of names may hold."""

    value: str
    offset: int = 0


@dataclass(frozen=True, slots=True)
class FactName:
    """A fact."""

    name: str
    offset: int


@dataclass(frozen=True, slots=True)
class NamedTime:
    """One of CLOCKS."""

    name: str
    offset: int = 0


@dataclass(frozen=True, slots=True)
class NamedCount:
    """One of COUNTS."""

    name: str
    offset: int = 0


@dataclass(frozen=True, slots=True)
class Stalled:
    """`stalled(NAME)`: the milestone is not met though its hint time has come; `stalled`: any."""

    milestone: str | None = None
    offset: int = 0


@dataclass(frozen=True, slots=True)
class Met:
    """`met(NAME)`: the milestone's condition has held in this session."""

    milestone: str
    offset: int = 0


@dataclass(frozen=True, slots=True)
class Not:
    """`not X`."""

    operand: "Node"
    offset: int = 0


@dataclass(frozen=True, slots=True)
class Both:
    """`X and Y`."""

    left: "Node"
    right: "Node"
    offset: int = 0


@dataclass(frozen=True, slots=True)
class Either:
    """`X or Y`."""

    left: "Node"
    right: "Node"
    offset: int = 0


Operator: TypeAlias = Literal["=", "!=", "<", "<=", ">", ">="]


@dataclass(frozen=True, slots=True)
class Comparison:
    """`X < Y` and its kin."""

    operator: Operator
    left: "Node"
    right: "Node"
    offset: int


@dataclass(frozen=True, slots=True)
class Sum:
    """`X + Y` (sign 1) or `X - Y` (sign -1)."""

    sign: Literal[1, -1]
    left: "Node"
    right: "Node"
    offset: int


Node: TypeAlias = (
    YesNoLiteral
    | NumberLiteral
    | DurationLiteral
    | NameLiteral
    | FactName
    | NamedTime
    | NamedCount
    | Stalled
    | Met
    | Not
    | Both
    | Either
    | Comparison
    | Sum
)


@dataclass(frozen=True, slots=True)
class Expression:
    """A whole condition: as it was written, and its tree."""

    source: str
    root: Node


def nodes_of(node: Node) -> Iterator[Node]:
    """A part of a condition, and all that it is made of."""
    yield node
    match node:
        case Not(operand):
            yield from nodes_of(operand)
        case Both() | Either() | Comparison() | Sum():
            yield from nodes_of(node.left)
            yield from nodes_of(node.right)


def facts_in(node: Node) -> set[str]:
    """The facts that a condition asks for."""
    return {part.name for part in nodes_of(node) if isinstance(part, FactName)}
