"""The operator's hand: what each key does. A key becomes an event for the station, or a question.

Letters and figures only ever choose a line; whatever is heard on air takes another key. A move
that cannot be undone is asked about first, and Enter does it: the key itself, held down or pressed
again by someone who did not look, only asks once more.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from enum import StrEnum
from functools import partial

from broadcaster.clock import Clock
from broadcaster.console.view import FactView, Phase, SegmentView, View
from broadcaster.story.events import (
    EndSession,
    FactState,
    InEvent,
    Jump,
    JumpTiming,
    SetFact,
    StartSession,
    TakeBackJump,
)

TYPING_S = 1.5
"""How long typed letters belong together."""
ASKING_S = 10.0
"""How long a question waits for its answer."""
SAYING_S = 6.0
"""How long the answer to a key stays."""
ECHO_S = 1.0
"""How long the station may take to show what a key did. Within it a key that is held down does not
jump a second time, and a second + counts on from the first."""


class Works(StrEnum):
    """The panel that the keys work on."""

    SEGMENTS = "segments"
    FACTS = "facts"


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked before a move that cannot be undone."""

    sentence: str
    act: Callable[[], None]
    asked_s: float
    grave: bool = False
    """Whether the station would go off air."""


class Hand:
    """Where the operator's hand is, and what its keys do."""

    def __init__(
        self,
        send: Callable[[InEvent], None],
        clock: Clock,
        *,
        leave: Callable[[], None],
        switch_light: Callable[[], None],
    ) -> None:
        self._send = send
        self._clock = clock
        self._leave = leave
        self._switch_light = switch_light
        self._typed_s = 0.0
        self._jumped: tuple[Jump, float] | None = None
        self._asked_facts: dict[str, tuple[FactState, float]] = {}
        self.works = Works.SEGMENTS
        self.segment = 0
        """The chosen segment, counted from 0."""
        self.fact = 0
        self.typed = ""
        """What is being typed to find a segment."""
        self.missed = False
        """Whether it finds none. Then no key jumps, until a segment is chosen or Esc forgets it."""
        self.chosen_for_s: float | None = None
        """How long ago a segment was chosen; None: none was."""
        self._chosen_s: float | None = None
        self.question: Question | None = None
        self.remark = ""
        """An answer to the last key, if one is due."""
        self._said_s = 0.0

    def settle(self) -> None:
        """Time passes: a question left unanswered is dropped, and typing begins anew."""
        now = self._clock.seconds()
        if self.question and now - self.question.asked_s > ASKING_S:
            self.question = None
        if self.typed and not self.missed and now - self._typed_s > TYPING_S:
            self.typed = ""
        self.chosen_for_s = None if self._chosen_s is None else now - self._chosen_s
        if now - self._said_s > SAYING_S:
            self.remark = ""

    def press(self, key: str, letter: str | None, view: View) -> None:
        """A key, by the terminal's name for it; letter: what it prints, if anything."""
        self.settle()
        self.remark = ""
        question, self.question = self.question, None
        if question and key == "enter":
            question.act()
        elif question and key == "escape":
            self._say("Left as it was.")
        elif question and key == "ctrl+z":
            still = f"the jump to {view.waiting.segment} still waits" if view.waiting else ""
            self._say(f"The question is closed; {still or 'nothing is changed'}.")
        elif not self._press_anywhere(key, view):
            if self.works is Works.SEGMENTS:
                self._press_in_segments(key, letter, view)
            else:
                self._press_in_facts(key, letter, view)

    def _say(self, sentence: str) -> None:
        self.remark, self._said_s = sentence, self._clock.seconds()

    def _press_anywhere(self, key: str, view: View) -> bool:
        match key:
            case "ctrl+s":
                self._send(StartSession())
            case "ctrl+e":
                self._end_session(view)
            case "ctrl+z":
                self._take_back()
            case "ctrl+t":
                self._switch_light()
            case "ctrl+q" | "ctrl+c":
                self._close(view)
            case "tab" | "shift+tab":
                self._change_panel(view)
            case _:
                return False
        return True

    def _ask(self, sentence: str, act: Callable[[], None], *, grave: bool = False) -> None:
        self.question = Question(sentence, act, self._clock.seconds(), grave)

    def _take_back(self) -> None:
        self._jumped = None
        self._send(TakeBackJump())

    def _end_session(self, view: View) -> None:
        if view.phase is Phase.ON_AIR:
            self._ask("End the session?", lambda: self._send(EndSession()))
        else:
            self._send(EndSession())

    def _close(self, view: View) -> None:
        if view.phase is Phase.OFF_AIR:
            self._leave()
        else:
            self._ask("Take the station off air?", self._leave, grave=True)

    def _change_panel(self, view: View) -> None:
        self._stop_typing()
        if self.works is Works.FACTS:
            self.works = Works.SEGMENTS
        elif view.facts:
            self.works = Works.FACTS
        else:
            self._say("The script has no facts to set.")

    # --- segments ----------------------------------------------------------------------------

    def _press_in_segments(self, key: str, letter: str | None, view: View) -> None:
        segment = view.segments[self.segment]
        names = [one.name for one in view.segments]
        match key:
            case "enter" | "ctrl+r" | "ctrl+n" if self.missed:
                self._say(f"No segment is called {self.typed!r}: no jump is made. Esc forgets it.")
            case "enter":
                self._jump(segment, JumpTiming.AFTER_ITEM)
            case "ctrl+r":
                self._jump(segment, JumpTiming.AFTER_ROUND)
            case "ctrl+n":
                self._jump_now(segment, view)
            case "escape":
                self._stop_typing()
            case "backspace":
                self._find(names, self.typed[:-1])
            case _ if (place := moved(key, self.segment, len(view.segments))) is not None:
                self._stop_typing()
                self._choose(place)
            case _ if letter and letter.isprintable() and (self.typed or letter != " "):
                self._type(letter, names)

    def _choose(self, place: int) -> None:
        self.segment, self._chosen_s = place, self._clock.seconds()

    def _jump(self, segment: SegmentView, timing: JumpTiming) -> None:
        """Send a jump, but not the same one again while the key is held down."""
        self._stop_typing()
        if segment.warning:
            self._say(f"Jump to {segment.name}: {segment.warning}.")
        jump, now = Jump(segment.name, timing), self._clock.seconds()
        if self._jumped is None or self._jumped[0] != jump or now - self._jumped[1] > ECHO_S:
            self._jumped = (jump, now)
            self._send(jump)

    def _jump_now(self, segment: SegmentView, view: View) -> None:
        jump = partial(self._jump, segment, JumpTiming.NOW)
        if view.clue_at_stake:
            cut = f"Jump to {segment.name} now and cut the clue {view.clue_at_stake!r}?"
            self._ask(f"{cut} But {segment.warning}." if segment.warning else cut, jump)
        else:
            jump()

    def _type(self, letter: str, names: Sequence[str]) -> None:
        if self.missed and self._clock.seconds() - self._typed_s > TYPING_S:
            self._stop_typing()
        begins_anew = not self.missed and find_segment(names, self.typed + letter) is None
        if begins_anew and find_segment(names, letter) is not None:
            self._find(names, letter)
        else:
            self._find(names, self.typed + letter)

    def _find(self, names: Sequence[str], typed: str) -> None:
        """Choose what these letters mean."""
        found = find_segment(names, typed) if typed else None
        self.typed, self._typed_s = typed, self._clock.seconds()
        self.missed = found is None and typed != ""
        if found is not None:
            self._choose(found)
        elif typed:
            self._say(f"No segment is called {typed!r}.")

    def _stop_typing(self) -> None:
        self.typed, self.missed = "", False

    # --- facts -------------------------------------------------------------------------------

    def _press_in_facts(self, key: str, letter: str | None, view: View) -> None:
        self.fact = min(self.fact, len(view.facts) - 1)
        fact = view.facts[self.fact]
        if (place := moved(key, self.fact, len(view.facts))) is not None:
            self.fact = place
        elif letter in ("+", "=", "-", "_", " "):
            self._set(fact, letter)
        elif key == "escape":
            self.works = Works.SEGMENTS
        elif key in ("enter", "ctrl+n", "ctrl+r"):
            self._say("The keys work on the facts. Tab goes back to the segments.")

    def _set(self, fact: FactView, letter: str) -> None:
        asked, at_s = self._asked_facts.get(fact.name, (fact.value, 0.0))
        value = asked if self._clock.seconds() - at_s < ECHO_S else fact.value
        more = letter in "+="
        if isinstance(value, bool):
            value = not fact.value if letter == " " else more
        elif isinstance(value, str):
            value = _beside(fact.names, value, -1 if letter in "-_" else 1)
        elif letter != " ":
            value += 1 if more else -1
        else:
            self._say(f"{fact.name} is a number: + and - change it.")
            return
        self._asked_facts[fact.name] = (value, self._clock.seconds())
        self._send(SetFact(fact.name, value))


def _beside(names: Sequence[str], name: str, step: int) -> str:
    """The name beside one in a list that goes round."""
    return names[(names.index(name) + step) % len(names)] if name in names else name


def moved(key: str, place: int, count: int) -> int | None:
    """Where a key moves the choice in a list of so many lines; None: it moves nothing."""
    places = {"up": place - 1, "down": place + 1, "home": 0, "end": count - 1}
    return min(max(places[key], 0), count - 1) if key in places else None


def find_segment(names: Sequence[str], typed: str) -> int | None:
    """The segment that typed letters mean, from 0: its number, or how a word of its name begins."""
    if typed.isdecimal():
        return int(typed) - 1 if 1 <= int(typed) <= len(names) else None
    wanted = typed.casefold()
    begins = [n for n, name in enumerate(names) if name.casefold().startswith(wanted)]
    within = [n for n, name in enumerate(names) if f" {wanted}" in f" {name.casefold()}"]
    return next(iter(begins + within), None)
