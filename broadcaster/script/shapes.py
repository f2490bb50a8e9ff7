"""How a value looks when it is written, for the JSON Schema: marks on the types of fields.

YAML editors and parsers take `no`, `08310` or `21:00` for a yes/no or a number, where this package
reads text; so a shape names the other types that a written value may be taken for.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Shape:
    """How a single value is written."""

    pattern: str
    """A regular expression (ECMA-262) for the whole of it."""
    example: str = ""
    also: tuple[str, ...] = ()
    """JSON types that the value may be taken for: `boolean`, `integer`, `number`."""


@dataclass(frozen=True, slots=True)
class AtLeast:
    """How many entries a list or names a mapping has at least, if it is written at all."""

    count: int


@dataclass(frozen=True, slots=True)
class EachOnce:
    """No entry of a list is written twice."""


@dataclass(frozen=True, slots=True)
class Names:
    """How a name in a mapping of names is written: a regular expression for the whole of it."""

    pattern: str
