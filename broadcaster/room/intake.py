"""The room's one way to the station: every inlet gives what it heard to the intake.

It refuses what is no message, reads values, waits until they are steady, and lets through no more
than a station should hear: of each fact the newest value, however many came. A command is never
lost without a word: it is sent, or refused.
"""

import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping
from typing import Protocol

from broadcaster.clock import Clock
from broadcaster.room.commands import Refusal, RefusedError, Why, event_of, harmless
from broadcaster.room.complaints import MOST_SOURCES, Complaints
from broadcaster.room.gate import Budget, Gate
from broadcaster.room.values import fact_value
from broadcaster.script.names import clipped, known_names
from broadcaster.script.programme import Programme
from broadcaster.script.venue_settings import FactSettings
from broadcaster.story.events import OutEvent, Refused
from broadcaster.story.in_events import Announce, InEvent, Jump, SetFact

FACTS_A_SECOND, FACTS_AT_ONCE = 200.0, 50
"""What of facts goes to the station, from all inlets together. A room's switches need a hundredth
of it (chosen; the station obeys ten times as much)."""
COMMANDS_A_SECOND, COMMANDS_AT_ONCE = 10.0, 20
"""What each source may command. No hand is as fast (chosen)."""


class Hearer(Protocol):
    """What the intake needs of the station: a part.Door is one."""

    @property
    def frame(self) -> int:
        """The frame at which the station is, as last told."""

    def send(self, event: InEvent) -> None:
        """Put an event through the door."""

    def report(self, event: OutEvent) -> None:
        """Say something on the console and in the log."""


class Intake:
    """Takes messages from any thread; pump() sends what had to wait."""

    def __init__(
        self,
        programme: Programme,
        settings: Mapping[str, FactSettings],
        station: Hearer,
        clock: Clock,
    ) -> None:
        """`settings`: those of facts, by their names in the script."""
        self.wake: Callable[[], None] = _nobody
        """Called, from any thread, when pump() is due earlier than it last said."""
        self._programme = programme
        self._settings = {name: settings.get(name, FactSettings()) for name in programme.facts}
        self._outside = {form.named: name for name, form in settings.items() if form.named}
        self._gates = {name: Gate(form) for name, form in self._settings.items()}
        self._waiting: dict[str, Gate] = {}
        self._station = station
        self._clock = clock
        self._facts = Budget(FACTS_A_SECOND, FACTS_AT_ONCE)
        self._commands: OrderedDict[str, Budget] = OrderedDict()
        self._complaints = Complaints(self._say)
        self._promised_s: float | None = None
        self._lock = threading.Lock()

    def take(self, source: str, message: object) -> Refusal | None:
        """Obey a message (commands.py), or refuse it: then nothing has changed.

        `source`: the inlet's name, for the log: `http`, `serial`. A fact is taken once its value
        is on its way, which may be later, and in a flood only the newest is.
        """
        with self._lock:
            now_s = self._clock.seconds()
            refusal = None
            try:
                self._take(event_of(message, source), source, now_s)
            except RefusedError as error:
                refusal = error.refusal
                self._complaints.note(source, refusal.sentence, now_s)
            due_s = self._due_s(now_s)
            early = due_s is not None and (self._promised_s is None or due_s < self._promised_s)
            if early:
                self._promised_s = due_s
        if early:
            self.wake()
        return refusal

    def take_fact(self, source: str, fact: str, value: object) -> Refusal | None:
        """Take a fact, by its name outside or in the script; see take()."""
        return self.take(source, {"event": "set fact", "fact": fact, "value": value})

    def refuse(self, source: str, sentence: str) -> None:
        """Say that something came which could not even be read as a message; rate-limited."""
        with self._lock:
            self._complaints.note(source, harmless(sentence), self._clock.seconds())

    def pump(self) -> float | None:
        """Send what has waited long enough. Seconds until that is due again; None: nothing waits.

        To be called when so much time has passed, or wake() was called.
        """
        with self._lock:
            now_s = self._clock.seconds()
            self._let_pass(now_s)
            self._complaints.pump(now_s)
            self._promised_s = self._due_s(now_s)
            return None if self._promised_s is None else max(0.0, self._promised_s - now_s)

    def facts(self) -> Mapping[str, str]:
        """Every fact that can be reported: its name in the script, and outside."""
        return {name: form.named or name for name, form in self._settings.items()}

    def _take(self, event: InEvent, source: str, now_s: float) -> None:
        match event:
            case SetFact():
                self._take_fact(event, now_s)
                return
            case Jump(segment=segment) if segment not in self._programme.segments:
                known = known_names(segment, self._programme.segments)
                sentence = f"There is no segment {clipped(segment)}. {known}".strip()
                raise RefusedError(Why.UNKNOWN, sentence)
            case Announce(text=text) if not any(character.isalnum() for character in text):
                raise RefusedError(Why.MALFORMED, "An announcement needs words.")
        if not self._budget_of(source).spend(now_s):
            many = f"More than {COMMANDS_A_SECOND:.0f} commands a second came; send it again later."
            raise RefusedError(Why.TOO_MANY, many)
        self._station.send(event)

    def _take_fact(self, event: SetFact, now_s: float) -> None:
        name = self._outside.get(event.fact, event.fact)
        fact = self._programme.facts.get(name)
        if fact is None:
            known = known_names(event.fact, (*self._programme.facts, *self._outside))
            sentence = f"There is no fact {clipped(event.fact)}. {known}".strip()
            raise RefusedError(Why.UNKNOWN, sentence)
        gate = self._gates[name]
        gate.take(fact_value(name, fact, self._settings[name], event.value), event.source, now_s)
        self._waiting.setdefault(name, gate)
        self._let_pass(now_s)

    def _let_pass(self, now_s: float) -> None:
        """Send the facts whose moment has come, those that wait longest first."""
        for name, gate in list(self._waiting.items()):
            if not gate.is_due(now_s):
                continue
            if not self._facts.spend(now_s):
                return
            del self._waiting[name]
            gate.let_pass(now_s)
            progress = self._settings[name].progress
            self._station.send(SetFact(name, gate.value, gate.source, progress))

    def _due_s(self, now_s: float) -> float | None:
        ready_s = self._facts.ready_s(now_s)
        dues = [max(gate.due_s, ready_s) for gate in self._waiting.values()]
        complaints_s = self._complaints.due_s()
        return min(dues if complaints_s is None else [*dues, complaints_s], default=None)

    def _budget_of(self, source: str) -> Budget:
        budget = self._commands.pop(source, None) or Budget(COMMANDS_A_SECOND, COMMANDS_AT_ONCE)
        self._commands[source] = budget
        if len(self._commands) > MOST_SOURCES:
            self._commands.popitem(last=False)
        return budget

    def _say(self, sentence: str) -> None:
        self._station.report(Refused(self._station.frame, sentence))


def _nobody() -> None:
    """Whoever pumps by itself need not be woken."""
