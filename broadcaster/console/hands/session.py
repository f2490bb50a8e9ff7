"""Session: a sheet to read; the keys that steer it work everywhere."""

from broadcaster.console.acts import Acts
from broadcaster.console.view import View


class ReadingHand:
    """A sheet with nothing to choose."""

    def __init__(self, acts: Acts) -> None:
        self._acts = acts

    def settle(self) -> None:
        """Nothing passes here."""

    def choose(self, line: int, view: View) -> None:
        """There is nothing to choose."""

    def press(self, key: str, letter: str | None, view: View) -> None:
        """No key has a meaning of its own here."""
        del view
        if letter or key == "enter":
            self._acts.say("Nothing is chosen here. Esc goes back to the segments.")
