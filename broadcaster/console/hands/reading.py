"""The log: which lines are shown, how far back, and what is looked for in them."""

from collections.abc import Sequence
from enum import StrEnum

from broadcaster.console.acts import Acts
from broadcaster.console.view import LogLine, View, Weight

PAGE = 10
"""Lines that a page key moves."""


class Show(StrEnum):
    """Which lines of the log are shown."""

    ALL = "all"
    AIRED = "aired"
    STORY = "story"
    FAULTS = "faults"


WEIGHTS = {
    Show.ALL: tuple(Weight),
    Show.AIRED: (Weight.AIRED, Weight.CUT),
    Show.STORY: (Weight.STORY, Weight.NOTE),
    Show.FAULTS: (Weight.REFUSED, Weight.TROUBLE),
}


class LogHand:
    """The filter, and how many lines the last one shown is before the newest."""

    def __init__(self, acts: Acts) -> None:
        self._acts = acts
        self.show = Show.ALL
        self.wanted = ""
        self.back = 0

    def settle(self) -> None:
        """Nothing passes here."""

    def choose(self, line: int, view: View) -> None:
        """Lines of the log are not chosen."""

    def press(self, key: str, letter: str | None, view: View) -> None:
        """Another filter, other words, or earlier lines."""
        count = len(self.lines(view.log))
        steps = {"up": 1, "down": -1, "pageup": PAGE, "pagedown": -PAGE, "home": count}
        if key in ("left", "right"):
            kinds = list(Show)
            step = 1 if key == "right" else -1
            self.show, self.back = kinds[(kinds.index(self.show) + step) % len(kinds)], 0
            self._acts.say(f"The log shows {self.show}.")
        elif key in steps:
            self.back = max(0, min(self.back + steps[key], count - 1))
        elif key == "end":
            self.back = 0
        elif key == "backspace":
            self.wanted, self.back = self.wanted[:-1], 0
        elif key == "escape":
            self.wanted, self.back = "", 0
        elif letter and letter.isprintable():
            self.wanted, self.back = self.wanted + letter, 0

    def lines(self, log: Sequence[LogLine]) -> list[LogLine]:
        """The lines that pass the filter, oldest first."""
        weights, wanted = WEIGHTS[self.show], self.wanted.casefold()
        return [
            line for line in log if line.weight in weights and wanted in line.sentence.casefold()
        ]
