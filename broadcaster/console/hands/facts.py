"""Facts: plus, minus and the space bar set by hand what a sensor did not tell."""

from collections.abc import Sequence

from broadcaster.clock import Clock
from broadcaster.console.acts import Acts
from broadcaster.console.hands.sheets import moved
from broadcaster.console.undo import ECHO_S
from broadcaster.console.view import FactView, View
from broadcaster.story.events import FactState


class FactsHand:
    """Which fact is chosen, and what was asked of each just now: a second + counts on from it."""

    def __init__(self, acts: Acts, clock: Clock) -> None:
        self._acts = acts
        self._clock = clock
        self._asked: dict[str, tuple[FactState, float]] = {}
        self.chosen = 0
        """Counted from 0."""

    def settle(self) -> None:
        """Nothing passes here."""

    def choose(self, line: int, view: View) -> None:
        """Choose the fact on a line."""
        self.chosen = max(0, min(line, len(view.facts) - 1))

    def press(self, key: str, letter: str | None, view: View) -> None:
        """Choose a fact, or set it."""
        if not view.facts:
            self._acts.say("The script has no facts to set.")
            return
        self.chosen = min(self.chosen, len(view.facts) - 1)
        fact = view.facts[self.chosen]
        if (place := moved(key, self.chosen, len(view.facts))) is not None:
            self.chosen = place
        elif letter in ("+", "=", "-", "_", " "):
            self._set(fact, letter)
        elif key in ("enter", "ctrl+n", "ctrl+r"):
            self._acts.say("The keys work on the facts. Esc goes back to the segments.")

    def _set(self, fact: FactView, letter: str) -> None:
        asked, at_s = self._asked.get(fact.name, (fact.value, 0.0))
        before = value = asked if self._clock.seconds() - at_s < ECHO_S else fact.value
        more = letter in "+="
        if isinstance(value, bool):
            before, value = fact.value, not fact.value if letter == " " else more
        elif isinstance(value, str):
            value = _beside(fact.names, value, -1 if letter in "-_" else 1)
        elif letter != " ":
            value += 1 if more else -1
        else:
            self._acts.say(f"{fact.name} is a number: + and - change it.")
            return
        self._asked[fact.name] = (value, self._clock.seconds())
        self._acts.set_fact(fact.name, value, before)


def _beside(names: Sequence[str], name: str, step: int) -> str:
    """The name beside one in a list that goes round."""
    return names[(names.index(name) + step) % len(names)] if name in names else name
