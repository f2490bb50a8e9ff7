"""A number whose unit is missing or strange, written as it may be meant."""

import re
from collections.abc import Sequence

from broadcaster.errors import UnreadableError
from broadcaster.script.names import clipped

_NUMBER = re.compile(r"([+-]?)([0-9]+(?:[.,][0-9]+)?)\s*([^\W\d_]*|%)")
_MOST_WAYS = 2
"""Of several units that may be meant, so many are told."""


def not_an_amount(
    text: str, kind: str, units: Sequence[str], *examples: str, signed: bool = False
) -> UnreadableError:
    """The error of a text that is no amount of a kind, such as `a level`.

    It tells how to write what stands there: with its own number where it has one, else as in the
    examples. A unit that begins with one of ours, or as one does, is taken for that one; without
    any, all the units may be meant, the likeliest first. Only an amount that can be below zero is
    `signed`.
    """
    ways: tuple[str, ...] = ()
    found = _NUMBER.fullmatch(text.strip())
    if found and (signed or not found[1]):
        sign, number, unit = found.groups()
        near = [each for each in units if unit.lower().startswith(each.lower())] or [
            each for each in units if unit and each[0].lower() == unit[0].lower()
        ]
        ways = tuple(f"{sign}{number.replace(',', '.')} {each}" for each in near or units)
    mend = written_as(ways) if ways else _either(examples)
    return UnreadableError(f"{clipped(text)} is not {kind}.", mend, ways=ways)


def written_as(ways: Sequence[str]) -> str:
    """How to write what may be meant, the likeliest first."""
    return _either(ways[:_MOST_WAYS])


def _either(ways: Sequence[str]) -> str:
    *before, last = [f"`{each}`" for each in ways]
    return f"Write it as {', '.join(before)} or {last}." if before else f"Write it as {last}."
