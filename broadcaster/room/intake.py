"""The room's one way to the station: every inlet gives what it heard to the intake.

It refuses what is no message. It reads what sensors report as the settings of facts say, waits
until that is steady, and lets through no more than a station should hear: of each fact the newest
value, however many came. A command is never lost without a word: it is sent, or refused. A fact
that a command sets counts at once, like one that is set at the console.
"""

import threading
from collections import OrderedDict
from collections.abc import Callable, Mapping
from typing import Protocol

from broadcaster.clock import Clock
from broadcaster.room.command_words import command_words, names_its_source
from broadcaster.room.commands import (
    Refusal,
    RefusedError,
    Report,
    Why,
    event_of,
    harmless,
    read_report,
)
from broadcaster.room.complaints import MOST_SOURCES, Complaints
from broadcaster.room.fact_names import FactNames
from broadcaster.room.gate import Budget, Gate
from broadcaster.room.values import fact_value
from broadcaster.script.names import clipped, known_names
from broadcaster.script.programme import Programme
from broadcaster.script.venue_settings import FactSettings
from broadcaster.story.events import Commanded, OutEvent, Refused
from broadcaster.story.in_events import (
    Announce,
    InEvent,
    Jump,
    PlainVoice,
    SetFact,
    StopPlainVoice,
)

FACTS_A_SECOND, FACTS_AT_ONCE = 200.0, 50
"""What of facts goes to the station, from all inlets together. A room's switches need a hundredth
of it (chosen; the station obeys ten times as much)."""
COMMANDS_A_SECOND, COMMANDS_AT_ONCE = 10.0, 20
"""What each source may command. No hand is as fast (chosen). The plain voice is counted apart, so
that no flood of other commands keeps it off the air."""


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
        self.names = FactNames(programme.facts, settings)
        """What facts are called."""
        self._programme = programme
        self._settings = {name: settings.get(name, FactSettings()) for name in programme.facts}
        self._gates = {name: Gate(form) for name, form in self._settings.items()}
        self._waiting: dict[str, Gate] = {}
        self._station = station
        self._clock = clock
        self._facts = Budget(FACTS_A_SECOND, FACTS_AT_ONCE)
        self._commands: OrderedDict[tuple[str, bool], Budget] = OrderedDict()
        self._complaints = Complaints(self._say)
        self._promised_s: float | None = None
        self._lock = threading.Lock()

    def take(self, source: str, wanted: object) -> Refusal | None:
        """Obey a command (a message of commands.py), or take a Report; or refuse it: then nothing
        has changed.

        `source`: the inlet's name, for the log: `http`, `serial`. A report is taken once its value
        is on its way, which may be later, and in a flood only the newest is.
        """
        with self._lock:
            now_s = self._clock.seconds()
            refusal = None
            try:
                if isinstance(wanted, Report):
                    self._note(read_report(wanted), source, now_s)
                else:
                    self._obey(event_of(wanted, source), source, now_s)
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

    def _obey(self, event: InEvent, source: str, now_s: float) -> None:
        match event:
            case SetFact():
                event = self._set_by_hand(event)
            case Jump(segment=segment) if segment not in self._programme.segments:
                known = known_names(segment, self._programme.segments)
                sentence = f"There is no segment {clipped(segment)}. {known}".strip()
                raise RefusedError(Why.UNKNOWN, sentence)
            case Announce(text=text) if not any(character.isalnum() for character in text):
                raise RefusedError(Why.MALFORMED, "An announcement needs words.")
        if not self._budget_of(source, event).spend(now_s):
            many = f"More than {COMMANDS_A_SECOND:.0f} commands a second came; send it again later."
            raise RefusedError(Why.TOO_MANY, many)
        if isinstance(event, SetFact):
            self._forget(event.fact)
        if not names_its_source(event):
            self._station.report(Commanded(self._station.frame, source, command_words(event)))
        self._station.send(event)

    def _set_by_hand(self, event: SetFact) -> SetFact:
        name = self.names.of(event.fact)
        value = fact_value(name, self._programme.facts[name], event.value)
        return SetFact(name, value, f"{event.source}, by hand", self._settings[name].progress)

    def _forget(self, fact: str) -> None:
        """What a sensor said before is older than what was set by hand, and counts no more."""
        if self._waiting.pop(fact, None):
            self._gates[fact].forget()

    def _note(self, report: Report, source: str, now_s: float) -> None:
        name = self.names.of(report.fact)
        fact, gate = self._programme.facts[name], self._gates[name]
        gate.take(fact_value(name, fact, report.value, self._settings[name]), source, now_s)
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

    def _budget_of(self, source: str, event: InEvent) -> Budget:
        whose = source, isinstance(event, PlainVoice | StopPlainVoice)
        budget = self._commands.pop(whose, None) or Budget(COMMANDS_A_SECOND, COMMANDS_AT_ONCE)
        self._commands[whose] = budget
        if len(self._commands) > MOST_SOURCES:
            self._commands.popitem(last=False)
        return budget

    def _say(self, sentence: str) -> None:
        self._station.report(Refused(self._station.frame, sentence))


def _nobody() -> None:
    """Whoever pumps by itself need not be woken."""
