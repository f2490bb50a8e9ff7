"""What the operator says himself: announcements, and the plain voice."""

from collections.abc import Callable
from functools import partial

from broadcaster.clock import Clock
from broadcaster.console.asking import Asking, Question, Wording
from broadcaster.console.undo import ANNOUNCEMENT, ECHO_S, Undo
from broadcaster.console.view import View
from broadcaster.desk.monitor import Monitor
from broadcaster.story.events import Announce, InEvent, PlainVoice, StopPlainVoice

RESTING_S = 5.0
"""How long after the plain voice was stopped Enter does not start it: a reflex. Chosen."""


class Speech(Asking):
    """The acts by which the operator speaks."""

    def __init__(
        self,
        send: Callable[[InEvent], None],
        clock: Clock,
        monitor: Monitor | None,
        wording: Wording,
    ) -> None:
        super().__init__(clock)
        self.send = send
        self.monitor = monitor
        self._wording = wording
        self.undo = Undo(clock)
        self._plain_s: float | None = None
        """When the plain voice was put on air at this console."""
        self._silenced_s: float | None = None
        """When it was stopped there."""

    def announce(
        self, text: str, view: View, *, now: bool = False, made: Callable[[], None] = lambda: None
    ) -> None:
        """Say something in the station's voice; asks first if that would cut a clue.

        `made` is called when it is sent.
        """
        clue = view.clue_at_stake if now else None
        act = partial(self._announce, text, now, clue, made)
        if clue:
            asked = f"Announce now? The clue is cut, and sent again: {clue!r}."
            self.ask(asked, act, "nothing is announced")
        else:
            act()

    def _announce(self, text: str, now: bool, clue: str | None, made: Callable[[], None]) -> None:
        cut = "; the clue is cut, and sent again" if clue else ""
        when = "now" if now else "after this item"
        self._do(Announce(text, now), f"Announcement {when}{cut}: {text}")
        self.undo.add(ANNOUNCEMENT)
        made()

    def listen(self, text: str) -> None:
        """Hear an announcement before it is sent, where nobody else does."""
        if self.monitor is None:
            self.say("There are no headphones: give `--monitor OUT` when you go on air.")
        else:
            self.monitor.play(text)
            self.say(f"You hear it on {self.monitor.output}, and nobody else does.")

    def call_plain_voice(
        self,
        text: str,
        view: View,
        *,
        again: str = "",
        refused: Callable[[], None] = lambda: None,
    ) -> None:
        """Put the plain voice on air (no text: the programme's own), or silence it.

        Starting and stopping are different gestures: only starting is answered by `again`, and
        right after a stop by nothing else.
        """
        now = self._clock.seconds()
        if self._plain_s is not None and now - self._plain_s < ECHO_S:
            self._plain_s = now  # the key may still be held down
            how = f"{self._wording.plain_voice}, then Enter" if again else self._wording.stop_voice
            self.say(f"The plain voice has just gone on air. In a second {how} stops it.")
        elif view.plain and text in ("", view.plain.text):
            self.stop_plain_voice(view)
        else:
            stopped_s = self._silenced_s
            anew = stopped_s is not None and now - stopped_s < RESTING_S
            words = "PLAIN VOICE again, all else off?" if anew else "PLAIN VOICE, all else off?"
            words += f" It says: {text}" if text else " Prepared text."
            self.question = Question(
                words,
                partial(self._plain_voice, text),
                now,
                "the plain voice is NOT on air",
                grave=True,
                again=again,
                enter_from_s=stopped_s + RESTING_S if anew and stopped_s is not None else now,
                refused=refused,
            )

    def stop_plain_voice(self, view: View) -> None:
        """Silence the plain voice."""
        if view.plain:
            self.ask("Stop the plain voice?", self._stop_plain_voice, "the plain voice goes on")
        else:
            self.say("The plain voice is not on air.")

    def _plain_voice(self, text: str) -> None:
        self._plain_s = self._clock.seconds()
        told = f"The plain voice is on air until you stop it with {self._wording.stop_voice}."
        self._do(PlainVoice(text), told)
        self.undo.add(told)

    def _stop_plain_voice(self) -> None:
        self._plain_s, self._silenced_s = None, self._clock.seconds()
        told = f"The plain voice stops. {self._wording.go_on} lets a held session go on."
        self._do(StopPlainVoice(), told)
        self.undo.add(told)

    def _do(self, event: InEvent, sentence: str) -> None:
        self.send(event)
        self.say(sentence)
