"""The sheets: what can lie on top of the desk. Tab turns to the next."""

from enum import StrEnum
from typing import Protocol

from broadcaster.console.view import View


class Works(StrEnum):
    """The sheet that the keys work on, by the name on its plate; in the order of Tab."""

    SEGMENTS = "segments"
    SESSION = "session"
    ANNOUNCE = "announce"
    FACTS = "facts"
    SIGNAL = "signal"
    LOG = "log"
    PLAIN = "plain voice"

    def beside(self, step: int) -> "Works":
        """The next sheet, or the one before it (step -1); they go round."""
        sheets = list(Works)
        return sheets[(sheets.index(self) + step) % len(sheets)]


class SheetHand(Protocol):
    """What the keys do on one sheet."""

    def press(self, key: str, letter: str | None, view: View) -> None:
        """A key that has no meaning everywhere."""

    def choose(self, line: int, view: View) -> None:
        """A click on a line of the sheet, counted from 0."""

    def settle(self) -> None:
        """Time passes."""


def moved(key: str, place: int, count: int) -> int | None:
    """Where a key moves the choice in a list of so many lines; None: it moves nothing."""
    places = {"up": place - 1, "down": place + 1, "home": 0, "end": count - 1}
    return min(max(places[key], 0), count - 1) if key in places else None
