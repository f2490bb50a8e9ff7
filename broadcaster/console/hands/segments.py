"""Segments: letters and figures choose one and narrow the list; other keys jump there."""

from collections.abc import Sequence

from broadcaster.clock import Clock
from broadcaster.console.acts import Acts
from broadcaster.console.hands.sheets import moved
from broadcaster.console.undo import ECHO_S
from broadcaster.console.view import View
from broadcaster.console.words import AS_WRITTEN
from broadcaster.script.transitions import TRANSITIONS, Transition
from broadcaster.story.events import JumpTiming

TYPING_S = 1.5
"""How long typed letters belong together."""
NARROWED_S = 10.0
"""How long the list stays narrowed to what was typed."""
TIMINGS = {
    "enter": JumpTiming.AFTER_ITEM,
    "ctrl+r": JumpTiming.AFTER_ROUND,
    "ctrl+n": JumpTiming.NOW,
}
KEYS = {"enter": "Enter", "ctrl+r": "Ctrl+R", "ctrl+n": "Ctrl+N"}


class SegmentsHand:
    """Which segment is chosen, and what is typed to find one."""

    def __init__(self, acts: Acts, clock: Clock) -> None:
        self._acts = acts
        self._clock = clock
        self.transition: Transition | None = None
        """What the next jump is to have between; None: what the script says."""
        self._jumped_s: float | None = None
        self._typed_s = 0.0
        self._chosen_s: float | None = None
        self.chosen = 0
        """Counted from 0."""
        self.typed = ""
        """What is being typed to find a segment."""
        self._before_typing = 0
        """What was chosen when that began."""
        self.meant = False
        """Whether it was chosen since the sheet was opened and since the last jump."""
        self._jump_key = ""
        self.missed = False
        """Whether it finds none. Then no key jumps, until a segment is chosen or Esc forgets it."""
        self.chosen_for_s: float | None = None
        """How long ago a segment was chosen; None: none was."""

    def settle(self) -> None:
        """The list widens again, and typing begins anew."""
        now = self._clock.seconds()
        if self.typed and not self.missed and now - self._typed_s > NARROWED_S:
            self.typed = ""
        if self._jumped_s is not None and now - self._jumped_s > ECHO_S:  # the key is let go
            self.transition = self._jumped_s = None
        self.chosen_for_s = None if self._chosen_s is None else now - self._chosen_s

    def shown(self, names: Sequence[str]) -> list[int]:
        """The segments that the list shows: those that were typed, else all."""
        return (find_segments(names, self.typed) if self.typed else []) or [*range(len(names))]

    def press(self, key: str, letter: str | None, view: View) -> None:
        """Choose, or jump."""
        names = [one.name for one in view.segments]
        if key in TIMINGS:
            self._jump(key, view)
        elif key == "escape":
            self._choose_nothing()
            self.stop_typing()
            self.transition = None
        elif key in ("left", "right"):
            self._choose_transition(1 if key == "right" else -1, view)
        elif key == "backspace":
            self._find(names, self.typed[:-1])
        elif key in ("up", "down", "home", "end"):
            self._move(key, names)
        elif letter and letter.isprintable() and (self.typed or letter != " "):
            self._type(letter, names)

    def _jump(self, key: str, view: View) -> None:
        """To what was chosen since the sheet was opened or a jump was made, and only once."""
        segment, now = view.segments[self.chosen], self._clock.seconds()
        jumped = self._acts.jumped_s is not None and now - self._acts.jumped_s < ECHO_S
        if self.missed:
            told = f"No segment is called {self.typed!r}: no jump is made. Esc forgets it."
        elif not self.meant and jumped:
            told = self._acts.jumped_words
            told += "" if key == self._jump_key else f" {KEYS[key]} so soon after it does nothing."
        elif not self.meant:
            told = "No jump is made: choose first. Type a name or number, or use ↑ ↓."
        else:
            self.stop_typing()
            self._jump_key, self._jumped_s = key, now
            self._acts.jump(segment, TIMINGS[key], view, self.transition, made=self._made)
            return
        self._acts.say(told)

    def _made(self) -> None:
        """The next jump is to be chosen anew."""
        self.meant = False

    def open(self) -> None:
        """The sheet is laid on top: whatever was chosen on it before is not meant any more."""
        self.stop_typing()
        self.meant = False

    def choose(self, line: int, view: View) -> None:
        """Choose the segment on a line that is shown."""
        shown = self.shown([one.name for one in view.segments])
        self._choose(shown[min(line, len(shown) - 1)])

    def begin_anew(self) -> None:
        """A new team: what was chosen for the last one is not left under the jump keys."""
        self.open()
        self.chosen, self.transition, self._chosen_s = 0, None, None

    def stop_typing(self) -> None:
        """What was typed is forgotten, the choice stays."""
        self.typed, self.missed = "", False

    def _choose_transition(self, step: int, view: View) -> None:
        """The next one, or the one before; they go round, what the script says among them."""
        self._jumped_s = None
        kinds = (None, *TRANSITIONS)
        self.transition = kinds[(kinds.index(self.transition) + step) % len(kinds)]
        how = f"with a {self.transition}" if self.transition else AS_WRITTEN
        waits = " The one that waits is left as it is." if view.waiting else ""
        self._acts.say(f"The next jump is made {how}.{waits}")

    def _move(self, key: str, names: Sequence[str]) -> None:
        """Within what the list shows; a miss is forgotten."""
        if self.missed:
            self.stop_typing()
        shown = self.shown(names)
        place = shown.index(self.chosen) if self.chosen in shown else 0
        place = moved(key, place, len(shown)) or 0
        self._choose(shown[place])
        self._typed_s = self._clock.seconds() if self.typed else self._typed_s

    def _choose(self, segment: int) -> None:
        self.chosen, self._chosen_s, self.chosen_for_s = segment, self._clock.seconds(), 0.0
        self.meant = True

    def _choose_nothing(self) -> None:
        """No key jumps until something is chosen; what was typed has moved nothing."""
        if self.typed:
            self.chosen = self._before_typing
        self.meant, self._chosen_s, self.chosen_for_s = False, None, None

    def _type(self, letter: str, names: Sequence[str]) -> None:
        if self._clock.seconds() - self._typed_s > TYPING_S:
            self.stop_typing()
        self._find(names, self.typed + letter)

    def _find(self, names: Sequence[str], typed: str) -> None:
        """Choose what these letters mean; nothing, where they mean none."""
        found = find_segments(names, typed) if typed else []
        if not self.typed:
            self._before_typing = self.chosen
        if found:
            self._choose(found[0])
        else:
            self._choose_nothing()
        self.typed, self._typed_s = typed, self._clock.seconds()
        self.missed = not found and typed != ""
        if self.missed:
            self._acts.say(f"No segment is called {typed!r}.")


def find_segments(names: Sequence[str], typed: str) -> list[int]:
    """The segments that typed letters mean, from 0, the likeliest first.

    By a number, or by how a name or a later word of it begins.
    """
    if typed.isdecimal():
        found = [n for n in range(len(names)) if str(n + 1).startswith(typed)]
        return found if 1 <= int(typed) <= len(names) else []
    wanted = typed.casefold()
    begins = [n for n, name in enumerate(names) if name.casefold().startswith(wanted)]
    within = [n for n, name in enumerate(names) if f" {wanted}" in f" {name.casefold()}"]
    return [*begins, *(n for n in within if n not in begins)]
