"""The language of conditions: `lamp_lit and (crates_open > 2 or session time >= 12 min)`.

parse_condition() turns text into a tree of the frozen classes below; the story evaluates it. Types
and names are checked against the programme's facts by check_condition().
"""

from dataclasses import dataclass
from typing import Literal, TypeAlias

CLOCKS = ("session time", "segment time", "quiet time", "time left")
"""Named times: since the session began, since this segment was entered, since the room last
changed a fact, and until the session's planned end."""

COUNTS = ("rounds",)
"""Named counts: rounds played in this segment since it was entered."""


@dataclass(frozen=True, slots=True)
class YesNoLiteral:
    """`yes` or `no`."""

    value: bool


@dataclass(frozen=True, slots=True)
class NumberLiteral:
    """A whole number."""

    value: int


@dataclass(frozen=True, slots=True)
class DurationLiteral:
    """A length of time, in frames of units.RATE."""

    frames: int


@dataclass(frozen=True, slots=True)
class FactName:
    """A fact; `offset` is where it stands in the condition's text."""

    name: str
    offset: int


@dataclass(frozen=True, slots=True)
class NamedTime:
    """One of CLOCKS."""

    name: str


@dataclass(frozen=True, slots=True)
class NamedCount:
    """One of COUNTS."""

    name: str


@dataclass(frozen=True, slots=True)
class Not:
    """`not X`."""

    operand: "Node"


@dataclass(frozen=True, slots=True)
class Both:
    """`X and Y`."""

    left: "Node"
    right: "Node"


@dataclass(frozen=True, slots=True)
class Either:
    """`X or Y`."""

    left: "Node"
    right: "Node"


@dataclass(frozen=True, slots=True)
class Comparison:
    """`X < Y` and its kin."""

    operator: Literal["=", "!=", "<", "<=", ">", ">="]
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
    | FactName
    | NamedTime
    | NamedCount
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


def parse_condition(value: object) -> Expression:
    """Read a condition. Raises ValueError that says what was found and what is allowed."""
    raise NotImplementedError
