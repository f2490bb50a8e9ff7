"""Address patterns of OSC 1.0: which addresses a message is for.

They are matched position by position, in a time that grows with pattern times address, whatever a
stranger sends: as regular expressions they could hold the desk for ever.
"""

from collections.abc import Callable, Iterable, Iterator
from typing import TypeAlias

from broadcaster.room.commands import RefusedError, Why

LONGEST_PATTERN = 100
"""Characters."""
_SIGNS = "*?[{"

Step: TypeAlias = Callable[[str, int], Iterable[int]]
"""From a position in an address, those to which a piece of the pattern leads."""


def is_pattern(address: str) -> bool:
    """Whether an address is one for several."""
    return any(sign in address for sign in _SIGNS)


def matching(pattern: str, addresses: Iterable[str]) -> list[str]:
    """Those of the addresses that a pattern is for. Raises RefusedError if it is none."""
    if len(pattern) > LONGEST_PATTERN:
        raise RefusedError(Why.MALFORMED, f"A pattern is longer than {LONGEST_PATTERN} characters.")
    steps = list(_steps(pattern))
    return [address for address in addresses if _matches(steps, address)]


def _matches(steps: list[Step], address: str) -> bool:
    places = {0}
    for step in steps:
        places = {place for start in places for place in step(address, start)}
        if not places:
            return False
    return len(address) in places


def _steps(pattern: str) -> Iterator[Step]:
    place = 0
    while place < len(pattern):
        sign = pattern[place]
        if sign in "[{":
            end = pattern.find("]" if sign == "[" else "}", place)
            if end < 0:
                raise RefusedError(Why.MALFORMED, f"A pattern's {sign!r} is not closed.")
            inside = pattern[place + 1 : end]
            yield _one_of(inside) if sign == "[" else _words(inside.split(","))
            place = end + 1
        else:
            yield _anything if sign == "*" else _any_one if sign == "?" else _words([sign])
            place += 1


def _anything(address: str, start: int) -> Iterable[int]:
    """`*`: no character, or several, within one part of the address."""
    end = address.find("/", start)
    return range(start, (len(address) if end < 0 else end) + 1)


def _any_one(address: str, start: int) -> Iterable[int]:
    """`?`: one character."""
    return (start + 1,) if address[start : start + 1] not in ("", "/") else ()


def _words(words: list[str]) -> Step:
    """`{one,other}`, or a character that stands for itself."""
    return lambda address, start: [
        start + len(word) for word in words if address.startswith(word, start)
    ]


def _one_of(inside: str) -> Step:
    """`[a-f]`, `[!a-f]`: one character, of these or of all others."""
    others = inside.startswith("!")
    listed = inside[others:]
    characters, ranges, place = "", [], 0
    while place < len(listed):
        if listed[place + 1 : place + 2] == "-" and place + 2 < len(listed):
            ranges.append((listed[place], listed[place + 2]))
            place += 3
        else:
            characters += listed[place]
            place += 1

    def step(address: str, start: int) -> Iterable[int]:
        if not _any_one(address, start):
            return ()
        character = address[start]
        among = character in characters or any(low <= character <= high for low, high in ranges)
        return (start + 1,) if among != others else ()

    return step
