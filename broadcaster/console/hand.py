"""The operator's hand: what each key does. A key becomes an event for the station, or a question.

Letters and figures only ever choose or write; whatever is heard on air takes another key. A move
that cannot be undone is asked about first, and Enter does it: the key itself, held down or pressed
again by someone who did not look, only asks once more. The one exception is the plain voice, whose
own key confirms it, when there is no time to look for another.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import replace

from broadcaster.clock import Clock
from broadcaster.console.acts import Acts
from broadcaster.console.asking import Question, Wording
from broadcaster.console.hands.facts import FactsHand
from broadcaster.console.hands.reading import LogHand
from broadcaster.console.hands.segments import SegmentsHand
from broadcaster.console.hands.session import ReadingHand
from broadcaster.console.hands.sheets import SheetHand, Works
from broadcaster.console.hands.signal import SignalHand
from broadcaster.console.hands.speaking import PLAIN_KEY, AnnounceHand, PlainVoiceHand
from broadcaster.console.undo import ECHO_S
from broadcaster.console.view import Phase, View
from broadcaster.desk.monitor import Monitor
from broadcaster.story.events import InEvent

BOUNCE_S = 0.06
"""How long after a stroke its key may bounce, and how close together a key that is held repeats
itself. Chosen: nobody strikes twice so fast."""
HOLD_KEY = "ctrl+o"
"""Its own opposite: held down, or bouncing, it does it once."""
PAGES = ("up", "down", "pageup", "pagedown", "home", "end")
"""Keys that turn the help page; any other closes it."""
WRITING = (Works.ANNOUNCE, Works.PLAIN)
"""Sheets on which every letter is written."""


class Hand:
    """Where the operator's hand is, and what its keys do."""

    def __init__(
        self,
        send: Callable[[InEvent], None],
        clock: Clock,
        *,
        leave: Callable[[], None],
        switch_light: Callable[[], None],
        wording: Wording = Wording(),  # noqa: B008  it is frozen
        monitor: Monitor | None = None,
    ) -> None:
        self.acts = Acts(send, clock, leave=leave, monitor=monitor, wording=wording)
        self._clock = clock
        self._switch_light = switch_light
        self.works = Works.SEGMENTS
        self._plain_on_air = False
        self._struck_s: dict[str, float] = {}
        """When each key was struck last."""
        self.help_row: int | None = None
        """The first row shown of the help page; None: it is closed."""
        self.help_rows = 10
        """How many are shown."""
        self.segments = SegmentsHand(self.acts, clock)
        self.announce = AnnounceHand(self.acts)
        self.facts = FactsHand(self.acts, clock)
        self.signal = SignalHand(self.acts, clock)
        self.log = LogHand(self.acts)
        self.plain = PlainVoiceHand(self.acts)
        self._sheets: Mapping[Works, SheetHand] = {
            Works.SEGMENTS: self.segments,
            Works.SESSION: ReadingHand(self.acts),
            Works.ANNOUNCE: self.announce,
            Works.FACTS: self.facts,
            Works.SIGNAL: self.signal,
            Works.LOG: self.log,
            Works.PLAIN: self.plain,
        }

    @property
    def question(self) -> Question | None:
        """What is asked, if anything."""
        return self.acts.question

    @property
    def remark(self) -> str:
        """The answer to the last key, while it is fresh."""
        return self.acts.remark

    def settle(self, view: View) -> None:
        """Time passes; the sheet of the plain voice is left when the voice stops."""
        spoke, self._plain_on_air = self._plain_on_air, view.plain is not None
        if spoke and not view.plain and self.works is Works.PLAIN:
            self.turn_to(Works.SEGMENTS)
        self.acts.settle(view)
        for sheet in self._sheets.values():
            sheet.settle()

    def press(self, key: str, letter: str | None, view: View, late_s: float = 0.0) -> None:
        """A key, by the terminal's name for it; letter: what it prints, if anything.

        `late_s`: how long ago it was struck.
        """
        self.settle(view)
        gap_s = self._gap_before(key, late_s)
        self.acts.remark = ""
        if self.help_row is not None and key not in ("f1", PLAIN_KEY):
            self._turn_help(key)
            return
        question, self.acts.question = self.acts.question, None
        if question and key == "enter":
            self._answer_yes(question)
        elif question and key == question.again:
            self._answer_again(question, gap_s)
        elif question and key == "escape":
            question.refused()
            self.acts.say("Left as it was.")
        elif question and key == "ctrl+z":
            still = f"the jump to {view.waiting.segment} still waits" if view.waiting else ""
            self.acts.say(f"The question is closed; {still or 'nothing is changed'}.")
        elif key == HOLD_KEY and gap_s < ECHO_S:
            self.acts.say("Ctrl+O was pressed just now; in a second it does the opposite.")
        elif not self._press_anywhere(key, letter, view):
            self._sheets[self.works].press(key, letter, view)

    def write(self, text: str) -> None:
        """Text that was pasted: where something is written, it is taken as it is."""
        if self.works is Works.ANNOUNCE:
            self.announce.draft.add(text)
        elif self.works is Works.PLAIN:
            self.plain.write(text)
        else:
            self.acts.say("Nothing is written here; Ctrl+A opens an announcement.")

    def choose(self, works: Works, line: int, view: View) -> None:
        """A click on a line of a sheet, counted from 0."""
        self.turn_to(works)
        self._sheets[works].choose(line, view)

    def slide(self, line: int, mark: int, view: View) -> None:
        """A click on a mark of a slider, both counted from 0."""
        self.turn_to(Works.SIGNAL)
        self.signal.slide(line, mark, view)

    def turn_to(self, works: Works) -> None:
        """Lay another sheet on top."""
        if works is not self.works:
            self.segments.open()
        self.segments.stop_typing()
        if works is not Works.PLAIN:
            self.plain.forget()
        self.help_row = None
        self.works = works

    def _turn_help(self, key: str) -> None:
        page = max(1, self.help_rows - 1)
        steps = {"up": -1, "down": 1, "pageup": -page, "pagedown": page, "home": -999, "end": 999}
        row = self.help_row or 0
        self.help_row = max(0, row + steps[key]) if key in PAGES else None

    def _answer_yes(self, question: Question) -> None:
        """Enter answers, but not while it may still be a reflex."""
        left_s = question.enter_from_s - self._clock.seconds()
        if left_s > 0:
            soon = f"Just stopped: Enter answers in {math.ceil(left_s)} s."
            self.acts.question = replace(question, remark=soon)
        else:
            question.act()

    def _answer_again(self, question: Question, gap_s: float) -> None:
        """Its own key answers, struck again or held, but not in the same stroke."""
        if gap_s < BOUNCE_S:
            self.acts.question = replace(question, remark="Too quick: once more.")
        else:
            question.act()

    def _gap_before(self, key: str, late_s: float) -> float:
        """Seconds since the same key was struck before."""
        struck_s = self._clock.seconds() - late_s
        before_s = self._struck_s.get(key, -math.inf)
        self._struck_s[key] = struck_s
        return struck_s - before_s

    def _press_anywhere(self, key: str, letter: str | None, view: View) -> bool:
        acts = self.acts
        act = {
            "ctrl+s": acts.start,
            HOLD_KEY: acts.hold_or_go_on,
            "ctrl+e": acts.end,
            "ctrl+x": acts.reset,
            "ctrl+g": acts.hint,
            "ctrl+z": acts.take_back,
            "ctrl+q": acts.off_air,
            "ctrl+c": acts.off_air,
        }.get(key)
        if act:
            act(view)
            if key == "ctrl+s" and view.phase is Phase.STAND_BY:
                self.segments.begin_anew()
        elif key == "f1" or (letter == "?" and self.works not in WRITING):
            self.help_row = 0 if self.help_row is None else None
        elif key in ("tab", "shift+tab"):
            self.turn_to(self.works.beside(1 if key == "tab" else -1))
        elif key == "escape" and self._returns():
            self.turn_to(Works.SEGMENTS)
        elif key == "ctrl+t":
            self._switch_light()
        elif key == "ctrl+a":
            self.turn_to(Works.ANNOUNCE)
        elif key == PLAIN_KEY:
            self.turn_to(Works.PLAIN)
            self.plain.choose(0, view)
            self.plain.call(view)
        else:
            return False
        return True

    def _returns(self) -> bool:
        """Whether Esc goes back to the segments: not where it clears what was typed first."""
        return self.works is not Works.SEGMENTS and not (
            self.works is Works.LOG and self.log.wanted
        )
