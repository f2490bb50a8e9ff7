"""What the operator can do: each act sends events, asks first, or says why not.

Keys on the screen and lines that are typed come to the same acts. An act answers in one sentence;
whatever cannot be taken back is asked about before.
"""

from collections.abc import Callable
from functools import partial

from broadcaster.clock import Clock
from broadcaster.console.asking import Wording
from broadcaster.console.speech import Speech
from broadcaster.console.undo import (
    ECHO_S,
    HEARD,
    HINT,
    JUMP,
    SESSION,
    fact_step,
    readability_step,
    signal_step,
)
from broadcaster.console.view import Phase, SegmentView, View
from broadcaster.console.words import AS_WRITTEN, WHEN, jump_words
from broadcaster.desk.monitor import Monitor
from broadcaster.script.transitions import Transition
from broadcaster.story.cue import fact_said
from broadcaster.story.events import (
    EndSession,
    FactState,
    GiveHint,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    ResetSession,
    Resume,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
)

NO_JUMP = "no jump is made"
LATER = "until the session goes on"
"""For what a jump or a hint waits while the session is held, or the plain voice is on air."""


class Acts(Speech):
    """The acts: each ends in an answer or a question."""

    def __init__(
        self,
        send: Callable[[InEvent], None],
        clock: Clock,
        *,
        leave: Callable[[], None],
        monitor: Monitor | None = None,
        wording: Wording = Wording(),  # noqa: B008  it is frozen
    ) -> None:
        """`leave` takes the station off air, unless `wording` says that it stays; `monitor`: the
        operator's headphones, if any."""
        super().__init__(send, clock, monitor, wording)
        self._leave = leave
        self._jumped: tuple[Jump, float] | None = None
        self.jumped_words = ""
        """What was said of the last jump."""

    @property
    def stays(self) -> bool:
        """Whether nothing goes off air when this console is left."""
        return self._wording.stays

    def settle(self, view: View) -> None:
        """Time passes; what goes wrong in the headphones is said."""
        self.expire()
        self.undo.settle(view)
        trouble = self.monitor.trouble() if self.monitor else ""
        if trouble:
            self.say(trouble)

    # --- the session and the station ---------------------------------------------------------

    def start(self, view: View) -> None:
        """Begin a session; asks first while the last one can still be brought back."""
        if view.phase is not Phase.STAND_BY:
            self.send(StartSession())
        elif view.restorable:
            gone = "The last session cannot be brought back then."
            self.ask(f"Begin a session? {gone}", self._start, "no session begins")
        else:
            self._start()

    def _start(self) -> None:
        self._do(StartSession(), "The session begins.")

    def hold_or_go_on(self, view: View) -> None:
        """Hold the session, or let it go on."""
        if view.held:
            self._do(Resume(), "The session goes on.")
            self.undo.add(f"The session went on: {self._wording.hold} holds it again.")
        elif view.phase is Phase.ON_AIR:
            self._do(Hold(), "The session is held after this item: carrier and bed stay on air.")
            self.undo.add(f"The session is held: {self._wording.go_on} lets it go on.")
        else:
            self.send(Hold())

    def end(self, view: View) -> None:
        """End the session."""
        if view.phase is Phase.ON_AIR:
            end = partial(self._end, EndSession())
            self.ask("End the session?", end, "the session is not ended")
        else:
            self.send(EndSession())

    def reset(self, view: View) -> None:
        """Make all ready for the next team."""
        ends = "End the session and reset" if view.phase is Phase.ON_AIR else "Reset"
        reset = partial(self._end, ResetSession())
        self.ask(f"{ends} all for the next team?", reset, "nothing is reset")

    def _end(self, event: InEvent) -> None:
        what = "reset" if isinstance(event, ResetSession) else "over"
        self._do(
            event, f"The session is {what}; for a minute {self._wording.take_back} brings it back."
        )
        self.undo.add(SESSION)

    def off_air(self, view: View) -> None:
        """Take the station off air, for good; or only leave a console that cannot."""
        if view.phase is Phase.OFF_AIR:
            self._leave()
        else:
            runs = view.phase is Phase.ON_AIR
            words = self._wording.leaving_session if runs else self._wording.leaving
            stays = self._wording.stays
            unanswered = "this console stays" if stays else "the station is not taken off air"
            self.ask(words, self._leave, unanswered, grave=not stays)

    def take_back(self, view: View) -> None:
        """Undo the last thing that can be undone."""
        self._jumped = None
        step = self.undo.take(view)
        if step is None:
            nothing = f"There is nothing to take back; {HEARD}."
            self.say(self.undo.past(view) or nothing)
        else:
            keeps = step.keeps(view) if step.keeps else ""
            self._do(step.event, f"Taken back: {step.words}. {keeps}".rstrip())

    # --- the story ---------------------------------------------------------------------------

    def jump(
        self,
        segment: SegmentView,
        timing: JumpTiming,
        view: View,
        transition: Transition | None = None,
        made: Callable[[], None] = lambda: None,
    ) -> None:
        """Jump to a segment; asks first if that would cut a clue, or begin again what runs.

        No transition: the script's. `made` is called when the jump is sent.
        """
        act = partial(self._jump, segment, timing, transition, view.held, made)
        if timing is JumpTiming.NOW and view.clue_at_stake:
            how = f"now with a {transition}" if transition else "now"
            cut = f"Cut the clue and jump to {segment.name} {how}? It is {view.clue_at_stake!r}."
            self.ask(
                f"{cut} And {segment.warning}." if segment.warning else cut,
                act,
                NO_JUMP,
                gentler=self._wording.after_round,
            )
        elif segment.on_air:
            self.ask(f"{segment.name} is on air. Begin it again {WHEN[timing]}?", act, NO_JUMP)
        else:
            act()

    def _jump(
        self,
        segment: SegmentView,
        timing: JumpTiming,
        transition: Transition | None,
        held: bool,
        made: Callable[[], None],
    ) -> None:
        """Send a jump, but not the same one again while the key is held down."""
        told = f"Jump to {segment.name}"
        jump, now = Jump(segment.name, timing, transition), self._clock.seconds()
        if self._jumped is None or self._jumped[0] != jump or now - self._jumped[1] > ECHO_S:
            self._jumped = (jump, now)
            self.send(jump)
            waits = held or timing is not JumpTiming.NOW
            self.undo.add(JUMP if waits else JUMP.past)
        how = jump_words(timing, transition)
        self.jumped_words = f"{told}: {segment.warning}." if segment.warning else f"{told}, {how}."
        if held:
            self.jumped_words += f" It waits {LATER}."
        self.say(self.jumped_words)
        made()

    @property
    def jumped_s(self) -> float | None:
        """When the last jump was sent from here and not taken back."""
        return self._jumped[1] if self._jumped else None

    def hint(self, view: View) -> None:
        """Give the next hint."""
        if view.phase is Phase.STAND_BY:
            self.say(f"No session is on air: {self._wording.start} begins one.")
        elif view.hint_due:
            due, until = view.hint_due, LATER if view.held else "for the end of the item"
            self.say(f"Hint {due.rung} of {due.of} waits {until}.")
        elif view.hint:
            how = f"waits {LATER}" if view.held else "goes out after this item"
            words = f"Hint {view.hint.rung} of {view.hint.of} {how}"
            self._do(GiveHint(), f"{words}: {view.hint.text}")
            self.undo.add(HINT)
        else:
            self.send(GiveHint())

    def set_fact(self, name: str, value: FactState, before: FactState) -> None:
        """Set a fact by hand."""
        self._do(SetFact(name, value), f"{name} is {fact_said(value)}.")
        if before != value:
            self.undo.add_setting(SetFact(name, value), fact_step(name, before, value))

    # --- reception ---------------------------------------------------------------------------

    def set_signal(self, strength: float | None, before: float | None) -> None:
        """Let the signal be so strong, 0 to 5, or (None) as the script says; before: what was."""
        amount = AS_WRITTEN if strength is None else f"at {strength:g}"
        self._do(SetSignal(strength), f"The signal is {amount}.")
        if before != strength:
            self.undo.add_setting(SetSignal(strength), signal_step(before, strength))

    def set_readability(self, grade: float | None, before: float | None) -> None:
        """Let what begins from now on be so readable, 1 to 5, or (None) as the script says."""
        amount = AS_WRITTEN if grade is None else f"{grade:g}"
        self._do(SetReadability(grade), f"Readability is {amount} for what begins from now on.")
        if before != grade:
            self.undo.add_setting(SetReadability(grade), readability_step(before, grade))
