"""What can be typed in line mode: the commands, and how a fact's value or a segment is written."""

import re
from collections.abc import Callable, Iterable, Mapping
from dataclasses import dataclass
from typing import TypeAlias

from broadcaster.console import answers
from broadcaster.console.acts import Acts
from broadcaster.console.asking import Question
from broadcaster.console.board import Board
from broadcaster.console.hands.segments import find_segments
from broadcaster.console.sliders import Slider
from broadcaster.console.view import FactView, Phase, SegmentView, View
from broadcaster.script.names import clipped, known_names
from broadcaster.script.transitions import TRANSITIONS
from broadcaster.story.events import FactState, JumpTiming

TIMINGS = {
    " now": JumpTiming.NOW,
    " after round": JumpTiming.AFTER_ROUND,
    " after item": JumpTiming.AFTER_ITEM,
}


@dataclass(frozen=True, slots=True)
class Command:
    """A command: what follows its name, what it does in a few words, and how."""

    takes: str
    does: str
    obey: "Obey"


Obey: TypeAlias = Callable[["Typist", str, View], list[str]]
"""Takes what follows the name, and the moment; gives the lines that answer at once."""


class Typist:
    """Obeys lines that the operator types; each is answered by one sentence, or by a short list."""

    def __init__(self, acts: Acts, board: Board) -> None:
        self.acts = acts
        self._board = board
        self.commands = AWAY if acts.stays else COMMANDS
        """What can be typed, by name."""
        # `stop plain voice` is looked for before anything that it might begin with.
        self._by_length = sorted(self.commands, key=len, reverse=True)
        self._leaving: Question | None = None
        """What Ctrl-C has asked."""
        self._left = False
        """Whether Ctrl-C has answered it, too."""

    def settle(self) -> list[str]:
        """Time passes: what is to be said of a question that was not answered."""
        asked = self.acts.question
        self.acts.expire()
        return [self.acts.remark] if asked and not self.acts.question else []

    def interrupt(self) -> list[str]:
        """Ctrl-C, to take the station off air: while a session runs it asks, and again is yes.

        Raises KeyboardInterrupt where no session runs, or it was answered already.
        """
        if self._left or self._board.view().phase is not Phase.ON_AIR:
            raise KeyboardInterrupt
        if self.acts.question and self.acts.question is self._leaving:
            if self.acts.just_asked:
                return ["Too quick: once more, if it is meant."]
            self._left = True
            return self.obey("yes")
        told = self.obey("off air")
        self._leaving = self.acts.question
        return [*told, "Ctrl-C again is yes, too."]

    def obey(self, line: str) -> list[str]:
        """What a line is answered."""
        self._board.key_pressed()
        words = " ".join(line.split())
        view = self._board.view()
        self.acts.settle(view)
        question, self.acts.question = self.acts.question, None
        self.acts.remark = ""
        if not words:
            self.acts.question = question
            return [_asking(question)] if question else []
        if words in ("yes", "no"):
            return self._answer(words, question)
        name = next((one for one in self._by_length if f"{words} ".startswith(f"{one} ")), "")
        if not name:
            return [_unknown(words, self.commands)]
        told = self.commands[name].obey(self, words[len(name) :].strip(), view)
        if question:
            told.insert(0, f"The question is closed: {question.sentence}")
        asked = self.acts.question
        if asked:
            told.append(_asking(asked))
        elif self.acts.remark:
            told.append(self.acts.remark)
        return told

    def _answer(self, word: str, question: Question | None) -> list[str]:
        if question is None:
            return ["Nothing is asked."]
        if word == "no":
            return ["Left as it was."]
        question.act()
        return [self.acts.remark] if self.acts.remark else []


def _asking(question: Question) -> str:
    gentler = f"; {question.gentler} cuts nothing" if question.gentler else ""
    return f"{question.sentence} Type yes or no{gentler}."


def _unknown(words: str, commands: Iterable[str]) -> str:
    meant = known_names(words.split()[0], [name.split()[0] for name in commands])
    meant = meant if meant.startswith("Did") else ""
    return " ".join(f"There is no command {clipped(words)}. {meant} `help` lists all.".split())


def _help(typist: Typist, rest: str, view: View) -> list[str]:
    del rest, view
    return [
        f"{name}{' ' if command.takes else ''}{command.takes}: {command.does}."
        for name, command in typist.commands.items()
    ]


def _told(answer: Callable[[View], list[str]]) -> Obey:
    """A command that only tells something."""

    def obey(typist: Typist, rest: str, view: View) -> list[str]:
        del typist, rest
        return answer(view)

    return obey


def _log(typist: Typist, rest: str, view: View) -> list[str]:
    del typist
    return answers.log(view, rest)


def _plainly(act: Callable[[Acts, View], None]) -> Obey:
    """A command that takes nothing."""

    def obey(typist: Typist, rest: str, view: View) -> list[str]:
        del rest
        act(typist.acts, view)
        return []

    return obey


def _hold(typist: Typist, rest: str, view: View) -> list[str]:
    del rest
    if view.held:
        return ["The session is held already."]
    typist.acts.hold_or_go_on(view)
    return []


def _go_on(typist: Typist, rest: str, view: View) -> list[str]:
    del rest
    if not view.held:
        return ["No session is held."]
    typist.acts.hold_or_go_on(view)
    return []


def _jump(typist: Typist, rest: str, view: View) -> list[str]:
    head, _, how = rest.rpartition(" with ")
    transition = next((one for one in TRANSITIONS if how in (one, f"a {one}")), None)
    where = head if transition else rest
    timing = next((one for one in TIMINGS if where.endswith(one)), "")
    segment = _segment(where.removesuffix(timing), view)
    if segment is None and head and not transition:
        return [f"There is no transition {how!r}: {', '.join(TRANSITIONS)}."]
    if segment is None:
        return [f"No segment is called {where.removesuffix(timing)!r}. `segments` lists them."]
    typist.acts.jump(segment, TIMINGS.get(timing, JumpTiming.AFTER_ITEM), view, transition)
    return []


def _segment(words: str, view: View) -> SegmentView | None:
    """By its number or its name; by how the name begins only if it is the only one."""
    exact = [one for one in view.segments if words in (one.name, str(one.number))]
    if exact or not words:
        return exact[0] if exact else None
    found = find_segments([one.name for one in view.segments], words)
    return view.segments[found[0]] if len(found) == 1 else None


def _set(typist: Typist, rest: str, view: View) -> list[str]:
    name, _, written = rest.partition(" ")
    fact = view.fact(name)
    if fact is None:
        return [f"There is no fact {name!r}. `facts` lists them."]
    value = _value(fact, written)
    if value is None:
        return [f"{name} cannot be {written!r}: it is {_kind(fact)}."]
    typist.acts.set_fact(name, value, fact.value)
    return []


def _value(fact: FactView, written: str) -> FactState | None:
    if isinstance(fact.value, bool):
        return {"yes": True, "no": False}.get(written)
    if isinstance(fact.value, str):
        return written if written in fact.names else None
    digits = written.removeprefix("-")
    return int(written) if digits.isascii() and digits.isdigit() else None


def _kind(fact: FactView) -> str:
    if isinstance(fact.value, bool):
        return "yes or no"
    return f"one of {', '.join(fact.names)}" if isinstance(fact.value, str) else "a whole number"


def _slide(slider: Slider) -> Obey:
    """A command that puts a slider somewhere, or (with nothing behind it) tells where it stands."""

    def obey(typist: Typist, rest: str, view: View) -> list[str]:
        if not rest:
            return answers.reception(view)
        least, most = slider.marks[0], slider.marks[-1]
        amount = None if rest == "script" else _amount(rest)
        if rest != "script" and (amount is None or not least <= amount <= most):
            return [f"`{slider}` takes {least:g} to {most:g}, or `script`."]
        act = Acts.set_signal if slider is Slider.SIGNAL else Acts.set_readability
        act(typist.acts, amount, slider.wanted(view.reception))
        return []

    return obey


def _amount(written: str) -> float | None:
    return float(written) if re.fullmatch(r"\d+(?:\.\d+)?", written, re.ASCII) else None


def _say(typist: Typist, rest: str, view: View) -> list[str]:
    typist.acts.announce(rest, view)
    return []


def _interrupt(typist: Typist, rest: str, view: View) -> list[str]:
    typist.acts.announce(rest, view, now=True)
    return []


def _listen(typist: Typist, rest: str, view: View) -> list[str]:
    del view
    typist.acts.listen(rest)
    return []


def _plain_voice(typist: Typist, rest: str, view: View) -> list[str]:
    typist.acts.call_plain_voice(rest, view)
    return ["It never replaces the venue's own alarm and evacuation arrangements."]


COMMANDS: Mapping[str, Command] = {
    "help": Command("", "list what can be typed", _help),
    "now": Command("", "tell what is on air, what comes next and what waits", _told(answers.now)),
    "start": Command("", "begin a session", _plainly(Acts.start)),
    "begin": Command("", "the same as `start`", _plainly(Acts.start)),
    "hold": Command("", "hold the session; carrier and bed stay on air", _hold),
    "go on": Command("", "let a held session go on", _go_on),
    "jump": Command(
        "SEGMENT [now or after round] [with a TRANSITION]", "go there, else after this item", _jump
    ),
    "hint": Command("", "give the next hint after this item", _plainly(Acts.hint)),
    "say": Command("WORDS", "announce them after this item", _say),
    "interrupt": Command("WORDS", "announce them now; what is cut is sent again", _interrupt),
    "listen": Command("WORDS", "hear them in your headphones first, if there are any", _listen),
    "plain voice": Command("[WORDS]", "stop the game for real, until you stop it", _plain_voice),
    "stop plain voice": Command("", "silence the plain voice", _plainly(Acts.stop_plain_voice)),
    "set": Command("FACT VALUE", "set a fact by hand", _set),
    "signal": Command("[0 to 5, or script]", "set how strong the signal is", _slide(Slider.SIGNAL)),
    "readability": Command(
        "[1 to 5, or script]",
        "set how readable is what begins from now on",
        _slide(Slider.READABILITY),
    ),
    "back": Command(
        "", "take back the last thing that can be taken back", _plainly(Acts.take_back)
    ),
    "end": Command("", "end the session", _plainly(Acts.end)),
    "reset": Command("", "make all ready for the next team", _plainly(Acts.reset)),
    "off air": Command("", "take the station off air, for good", _plainly(Acts.off_air)),
    "segments": Command("", "list the segments", _told(answers.segments)),
    "facts": Command("", "list the facts, and who set them when", _told(answers.facts)),
    "pace": Command("", "list the milestones", _told(answers.pace)),
    "log": Command("[WORDS]", "read the last lines, or those with these words", _log),
    "output": Command("", "tell how the output does", _told(answers.output)),
}
AWAY: Mapping[str, Command] = {
    **{name: command for name, command in COMMANDS.items() if name != "off air"},
    "leave": Command("", "close this console; nothing goes off air", COMMANDS["off air"].obey),
}
"""Those of a console that takes no station off air."""
