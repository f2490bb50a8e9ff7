"""Announcements and the plain voice: a line is written, or one of the list is taken, and sent."""

from broadcaster.console.acts import Acts
from broadcaster.console.draft import Draft
from broadcaster.console.hands.sheets import moved
from broadcaster.console.view import View

PLAIN_KEY = "ctrl+p"
CHOOSE_FIRST = "The prepared text is chosen. ↓ takes words of your own instead."


class AnnounceHand:
    """What is written, and which earlier announcement is chosen: line 0 is what is written."""

    def __init__(self, acts: Acts) -> None:
        self._acts = acts
        self.draft = Draft()
        self.chosen = 0
        self._written = ""
        """What was written before an earlier one was taken."""

    def settle(self) -> None:
        """Nothing passes here."""

    def choose(self, line: int, view: View) -> None:
        """Take the text of a line: 0 is what was written, the others were said before."""
        if not self.chosen:
            self._written = self.draft.text
        self.chosen = max(0, min(line, len(view.spoken)))
        self.draft.put(view.spoken[self.chosen - 1].text if self.chosen else self._written)

    def press(self, key: str, letter: str | None, view: View) -> None:
        """Write, take an earlier one, listen, or send."""
        text = self.draft.text.strip()
        if key in ("enter", "ctrl+n", "ctrl+l"):
            if not any(letter.isalnum() for letter in text):
                self._acts.say("An announcement needs words: write them first.")
            elif key == "ctrl+l":
                self._acts.listen(text)
            else:
                self._send(text, view, now=key == "ctrl+n")
        elif key == "up" and not text:
            self.choose(1, view)
        elif key in ("up", "down"):
            self.choose(moved(key, self.chosen, len(view.spoken) + 1) or 0, view)
        elif self.draft.press(key, letter):
            self.chosen = 0

    def _send(self, text: str, view: View, *, now: bool) -> None:
        self._acts.announce(text, view, now=now, made=self._sent)

    def _sent(self) -> None:
        self.draft.put("")
        self.chosen = 0


class PlainVoiceHand:
    """The text that the plain voice is to say: line 0 is the prepared one, 1 what is written.

    Nothing is written unless line 1 was chosen for it, and nothing written outlives the sheet:
    stray letters never go on air.
    """

    def __init__(self, acts: Acts) -> None:
        self._acts = acts
        self.draft = Draft()
        self.chosen = 0

    def settle(self) -> None:
        """Nothing passes here."""

    def choose(self, line: int, view: View) -> None:
        """Take the prepared text (0) or what is written (1)."""
        del view
        self.chosen = max(0, min(line, 1))

    def forget(self) -> None:
        """What was written is gone, and the prepared text is chosen."""
        self.draft.put("")
        self.chosen = 0

    def call(self, view: View) -> None:
        """Ask for the air. The key that asks from anywhere confirms the prepared text alone."""
        again = "" if self.text else PLAIN_KEY
        self._acts.call_plain_voice(self.text, view, again=again, refused=self.forget)

    @property
    def text(self) -> str:
        """What it would say; empty: the prepared text."""
        return self.draft.text.strip() if self.chosen else ""

    def write(self, text: str) -> None:
        """Take text that was pasted."""
        if self.chosen:
            self.draft.add(text)
        else:
            self._acts.say(CHOOSE_FIRST)

    def press(self, key: str, letter: str | None, view: View) -> None:
        """Write, choose, or ask for the air."""
        if key == "enter" and self.chosen and not self.text:
            self._acts.say("Write your own words first, or take the prepared text with ↑.")
        elif key == "enter":
            self.call(view)
        elif key in ("up", "down"):
            self.choose(moved(key, self.chosen, 2) or 0, view)
        elif self.chosen:
            self.draft.press(key, letter)
        elif letter and letter.isprintable():
            self._acts.say(CHOOSE_FIRST)
