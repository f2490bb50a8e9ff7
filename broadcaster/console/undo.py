"""What can be taken back, latest first. What has been heard on air cannot."""

from collections import deque
from collections.abc import Callable
from dataclasses import dataclass

from broadcaster.clock import Clock
from broadcaster.console.view import MilestoneState, Phase, View
from broadcaster.story.cue import fact_said
from broadcaster.story.events import (
    FactState,
    InEvent,
    Part,
    RestoreSession,
    SetFact,
    SetReadability,
    SetSignal,
    TakeBackAnnouncement,
    TakeBackHint,
    TakeBackJump,
)

ECHO_S = 1.0
"""How long the station may take to show what a key did."""
FRESH_S = 15.0
"""How long the screen offers to take back what does not wait."""
REMEMBERED = 50
"""How many steps can be taken back."""


@dataclass(frozen=True, slots=True)
class Step:
    """Something that was done: what takes it back, in words and as an event."""

    words: str
    event: InEvent
    stands: Callable[[View], bool]
    """Whether there is still something to take back."""
    past: str
    """In a sentence, why there is nothing any more."""
    keeps: Callable[[View], str] | None = None
    """In a sentence, what does not come back with it; None: all does."""


HEARD = "what was heard stays heard"
JUMP = Step(
    "the jump",
    TakeBackJump(),
    lambda view: view.waiting is not None,
    "The jump does not wait any more: a segment that was left is not brought back.",
)
ANNOUNCEMENT = Step(
    "the announcement",
    TakeBackAnnouncement(),
    lambda view: _announcing(view),
    f"The announcement does not wait any more: {HEARD}.",
)
HINT = Step(
    "the hint",
    TakeBackHint(),
    lambda view: view.hint_due is not None,
    f"The hint does not wait any more: {HEARD}.",
)
SESSION = Step(
    "the end of the session",
    RestoreSession(),
    lambda view: view.restorable and view.phase is Phase.STAND_BY,
    "The session cannot be brought back any more.",
)
WAITING = (JUMP, ANNOUNCEMENT, HINT, SESSION)
"""Steps that stand only for a while: the screen offers to take them back as long as they do."""


def _announcing(view: View) -> bool:
    on_air = view.air is not None and view.air.part == Part.ANNOUNCEMENT
    return on_air or bool(view.announcements)


def fact_step(name: str, before: FactState, after: FactState) -> Step:
    """A fact was set by hand."""

    def stands(view: View) -> bool:
        fact = view.fact(name)
        return fact is not None and fact.value == after

    words, past = f"{name}, to {fact_said(before)}", f"{name} was changed again since."
    return Step(words, SetFact(name, before), stands, past, _after_a_fact)


def _after_a_fact(view: View) -> str:
    """The story may have gone on by it, and a milestone may have been met."""
    if view.phase is not Phase.ON_AIR:
        return ""
    met = any(one.state is MilestoneState.MET for one in view.milestones)
    stays = "; a milestone that is met stays met" if met else ""
    return f"Where the story has gone by it, it does not go back{stays}."


def signal_step(before: float | None, after: float | None) -> Step:
    """The operator moved the signal's strength; None: it is as the script says."""
    words = f"the signal, to {_said(before)}"
    past = "The signal was moved again since."
    return Step(words, SetSignal(before), lambda view: view.reception.set_strength == after, past)


def readability_step(before: float | None, after: float | None) -> Step:
    """The operator moved readability; None: it is as the script says."""
    words = f"readability, to {_said(before)}"
    past = "Readability was moved again since."
    return Step(words, SetReadability(before), lambda view: view.reception.set_grade == after, past)


def _said(amount: float | None) -> str:
    return "what the script says" if amount is None else f"{amount:g}"


class Undo:
    """The acts that were done at this console in this session, and what the station tells of.

    Each is taken back by itself, the last one first; no earlier one while a later one stands.
    """

    def __init__(self, clock: Clock) -> None:
        self._clock = clock
        self._steps: deque[tuple[Step | str, float]] = deque(maxlen=REMEMBERED)
        """Where an act is not taken back so, why, in a sentence; each with its time in seconds."""
        self._taken: tuple[Step, float] | None = None
        self._began_frame: int | None = None

    def add(self, step: Step | str) -> None:
        """Something was done. A sentence: it is not taken back so, and why."""
        self._steps.append((step, self._clock.seconds()))

    def add_setting(self, did: SetFact | SetSignal | SetReadability, step: Step) -> None:
        """Something was set. Who sets it back by hand has taken the last act back; what a slider
        was moved by in one go is one act.
        """
        last, made_s = self._steps[-1] if self._steps else ("", 0.0)
        if isinstance(last, Step):
            slides = isinstance(did, SetSignal | SetReadability) and type(did) is type(last.event)
            if last.event == did:
                self._steps.pop()
                return
            if slides and self._clock.seconds() - made_s < ECHO_S:
                self._steps.pop()
        self.add(step)

    def settle(self, view: View) -> None:
        """What was done in an earlier session is past."""
        if view.began_frame != self._began_frame:
            self._began_frame = view.began_frame
            self._steps.clear()

    def next(self, view: View) -> Step | None:
        """What would be taken back now; None: nothing, see past()."""
        last, made_s = self._steps[-1] if self._steps else ("", 0.0)
        if isinstance(last, Step) and (self._unanswered(made_s) or last.stands(view)):
            return last
        return next((one for one in WAITING if self._open(one, view)), None)

    def offered(self, view: View) -> Step | None:
        """What the screen offers to take back: what waits, and what was done just now."""
        step = self.next(view)
        if step is None or step in WAITING:
            return step
        return step if self._clock.seconds() - self._steps[-1][1] < FRESH_S else None

    def take(self, view: View) -> Step | None:
        """Take back what next() tells."""
        step = self.next(view)
        if step and self._steps and self._steps[-1][0] is step:
            self._steps.pop()
        if step:
            self._taken = (step, self._clock.seconds())
        return step

    def past(self, view: View) -> str:
        """Why the last act is not taken back, in a sentence; empty: there is none.

        It is forgotten, and so are those before it of which nothing stands any more.
        """
        last = ""
        while self._steps and self.next(view) is None:
            step, _ = self._steps.pop()
            last = last or (step.past if isinstance(step, Step) else step)
        return last

    def _unanswered(self, made_s: float) -> bool:
        """Whether the station may not have answered yet: to an act, or to one taken back since."""
        last_s = max(made_s, self._taken[1]) if self._taken else made_s
        return self._clock.seconds() - last_s < ECHO_S

    def _open(self, step: Step, view: View) -> bool:
        """Whether it stands, and was not taken back just now."""
        just_now = self._taken and self._clock.seconds() - self._taken[1] < ECHO_S
        return step.stands(view) and not (just_now and self._taken and self._taken[0] is step)
