"""Facts: what the room can tell the station, and what a script can remember.

A fact is a yes or no, a whole number, perhaps with bounds, or one of a list of names.
"""

import re
from typing import Annotated, Literal, TypeAlias

from pydantic import BeforeValidator, Field

from broadcaster.errors import UnreadableError
from broadcaster.script.condition_tree import RESERVED
from broadcaster.script.forms import Form
from broadcaster.script.names import clipped, known_names
from broadcaster.script.shapes import AtLeast, EachOnce, Shape
from broadcaster.script.template import TIMES
from broadcaster.script.values import YesNo

FactState: TypeAlias = bool | int | str
"""What a fact can hold."""

FactKind: TypeAlias = Literal["a yes or no", "a number", "a name"]

_RESERVED = "|".join((*RESERVED, *TIMES))
FACT_NAME = rf"(?!(?:{_RESERVED})$)[A-Za-z_][A-Za-z0-9_]*"
"""A regular expression for the name of a fact."""
_UNUSABLE = re.compile("[^A-Za-z0-9_]")
HELD_NAME = r"[^\W\d_][\w -]*"
"""A regular expression for a name that a fact can hold."""

_LONG_FORM = "`{one of: [closed, ajar], at first: closed}`"
_INTEGER = re.compile(r"-?[0-9]{1,9}")


def usable_name(name: str) -> str:
    """The name, or the nearest to it that a fact can have, if there is one near."""
    near = _UNUSABLE.sub("_", name)
    return near if re.fullmatch(FACT_NAME, near) else name


def fact_value(value: object) -> FactState:
    """`yes`, `no`, a whole number (negative too), or a name."""
    if isinstance(value, bool | int):
        return value
    if not isinstance(value, str):
        raise UnreadableError("A single value is wanted here.", "Write it on the key's own line.")
    text = value.strip()
    if text in ("yes", "no"):
        return text == "yes"
    if _INTEGER.fullmatch(text):
        return int(text)
    if not text:
        raise UnreadableError("Nothing stands here.", "Write `yes`, `no`, a number or a name.")
    return text


def integer(value: object) -> int:
    """A whole number, negative too: `-3`."""
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    if not isinstance(value, str) or not _INTEGER.fullmatch(value.strip()):
        found = clipped(value) if isinstance(value, str) else "This"
        raise UnreadableError(f"{found} is not a whole number.", "Write it in figures, as `4`.")
    return int(value)


FactValue = Annotated[
    FactState, BeforeValidator(fact_value), Shape(r".*\S.*", "yes", ("boolean", "integer"))
]
Integer = Annotated[int, BeforeValidator(integer), Shape(_INTEGER.pattern, "4", ("integer",))]


HeldName = Annotated[str, Shape(r"(?!(?:yes|no)$)[^\s0-9_'\"-][^'\"]*", "ajar")]


class Fact(Form):
    """What a fact can hold, and what it holds when a session begins."""

    at_first: FactValue
    """What it holds when a session begins."""
    from_: Integer | None = Field(default=None, alias="from")
    """The least that a number can be."""
    to: Integer | None = None
    """The most that a number can be."""
    one_of: Annotated[tuple[HeldName, ...], AtLeast(2), EachOnce()] = ()
    """The names that it can hold."""
    stays: YesNo = False
    """Never goes back: a yes or no changes once, a number only grows, a name moves down its list.
    `check` goes by it when it looks for ways in which a team can get stuck."""

    @property
    def kind(self) -> FactKind:
        """What sort of value it holds."""
        if self.one_of:
            return "a name"
        return "a yes or no" if isinstance(self.at_first, bool) else "a number"

    def refusal(self, value: FactState) -> tuple[str, str] | None:
        """Why the fact cannot hold a value, and what it can hold; None if it can."""
        match self.kind:
            case "a yes or no":
                fits = isinstance(value, bool)
                return None if fits else (f"{said(value)} is neither `yes` nor `no`.", "")
            case "a name":
                if value in self.one_of and isinstance(value, str):
                    return None
                return f"{said(value)} is none of its names.", known_names(
                    plain(value), self.one_of
                )
        if isinstance(value, bool) or not isinstance(value, int):
            return f"{said(value)} is not a whole number.", ""
        if (self.from_ is not None and value < self.from_) or (
            self.to is not None and value > self.to
        ):
            return f"{said(value)} is outside its bounds.", f"It goes {self.bounds}."
        return None

    @property
    def bounds(self) -> str:
        """The bounds of a number in words: `from 0 to 4`."""
        lowest = "" if self.from_ is None else f"from {self.from_}"
        highest = "" if self.to is None else f"to {self.to}"
        return f"{lowest} {highest}".strip() or "without bounds"


def plain(value: FactState) -> str:
    """A fact's value as a writer writes it."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)


def said(value: FactState) -> str:
    """A fact's value as a sentence shows it."""
    return clipped(plain(value))


def no_value(name: str) -> UnreadableError:
    """What is said of a name where no names are declared."""
    return UnreadableError(
        f"{clipped(name)} is no value for a fact.",
        f"Write `yes`, `no` or a whole number; a name is one of a list: {_LONG_FORM}.",
    )


def short_fact(value: object) -> object:
    """A fact from its short form: only what it holds when a session begins."""
    if isinstance(value, list):
        raise UnreadableError(
            "A fact is not a list.", f"Write what it holds at first, or in full: {_LONG_FORM}."
        )
    if not isinstance(value, bool | int | str):
        return value
    held = fact_value(value)
    if isinstance(held, str):
        raise no_value(held)
    return Fact(at_first=held)


DeclaredFact = Annotated[
    Fact,
    BeforeValidator(short_fact),
    Shape(rf"yes|no|{_INTEGER.pattern}", "no", ("boolean", "integer")),
]
