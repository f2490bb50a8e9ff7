"""A broadcast under the desk's care: its events are logged, and a station that dies is replaced."""

import time
from dataclasses import replace

from broadcaster.air.orders import Orders, ToStation
from broadcaster.clock import Clock
from broadcaster.desk.link import StationLink
from broadcaster.desk.monitor import Monitor
from broadcaster.desk.timetable import Arming
from broadcaster.errors import StationError
from broadcaster.record.asrun import AsRunLog
from broadcaster.story.events import (
    OPERATOR,
    CloseStation,
    FactChanged,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    OutEvent,
    OutputState,
    PlainVoice,
    PlainVoiceStarted,
    PlainVoiceStopped,
    ReadabilityChanged,
    SegmentEntered,
    SessionClock,
    SessionEnded,
    SetFact,
    SetReadability,
    SetSignal,
    SignalChanged,
    StartSession,
    StationClosed,
    Trouble,
)

SHORT_LIFE_S = 5.0
"""A station that dies younger than this, twice running, is not started again."""


class Airing:
    """The one door to the station on air, and the ear at it."""

    def __init__(self, link: StationLink, orders: Orders, log: AsRunLog, clock: Clock) -> None:
        """`link` has been given the orders, or was attached to a station that has them."""
        self._link = link
        self._orders = orders
        self._log = log
        self._clock = clock
        self._timetable = Arming(orders.programme)
        self._facts: dict[str, FactChanged] = {}
        self._signal: tuple[InEvent, ...] = ()
        self._readability: tuple[InEvent, ...] = ()
        self._segment: str | None = None
        self._clock_runs = True
        self._plain: PlainVoice | None = None
        self._frame = 0
        self._began = time.monotonic()
        self._short_lives = 0
        self._log_missed = False
        self.monitor: Monitor | None = None
        """Where the operator hears an announcement beforehand, if there is such a place."""
        self.trouble = ""
        """What the station could not do at its end, in a sentence."""

    @property
    def over(self) -> bool:
        """Whether the station has closed and everything it told was taken."""
        return self._link.gone and self._link.closed

    def send(self, event: ToStation) -> None:
        """Put an event through the door."""
        self._link.send(event)

    def events(self) -> list[OutEvent]:
        """What happened since last asked; logged. Raises StationError if there is no station."""
        greeting = self._link.greeting()
        for event in greeting:
            self._remember(event)
        told = self._link.events()
        if self._link.gone and not self._link.closed and not told:
            told = [self._replace_station()]
        for event in told:
            self._remember(event)
            self._log.write(event)
            for due in self._timetable.hear(event, self._clock.wall()):
                self.send(due)
        if self._log.trouble and not self._log_missed:
            self._log_missed = True
            told.append(Trouble(self._frame, self._log.trouble))
        return greeting + told

    def close(self, patience_s: float = 5.0) -> None:
        """Take the station off air, if it still is on."""
        self.send(CloseStation())
        deadline = time.monotonic() + patience_s
        while not self.over and time.monotonic() < deadline:
            self.events()
            time.sleep(0.01)

    def _remember(self, event: OutEvent) -> None:
        match event:
            case FactChanged():
                self._facts[event.fact] = event
            case SignalChanged():
                is_set = event.why == OPERATOR
                self._signal = (SetSignal(event.strength),) if is_set else ()
            case ReadabilityChanged():
                is_set = event.grade is not None
                self._readability = (SetReadability(event.grade),) if is_set else ()
            case SegmentEntered():
                self._segment = event.segment
            case SessionEnded():
                self._segment = None
            case SessionClock():
                self._clock_runs = event.running
            case PlainVoiceStarted():
                self._plain = PlainVoice(event.text, event.source)
            case PlainVoiceStopped():
                self._plain = None
            case OutputState():
                self._frame = event.frame
            case StationClosed():
                self.trouble = event.trouble

    def _replace_station(self) -> OutEvent:
        """Start a new station where the dead one stood: facts, segment, what the operator set."""
        lived_s = time.monotonic() - self._began
        self._short_lives = self._short_lives + 1 if lived_s < SHORT_LIFE_S else 0
        if self._short_lives > 1:
            raise StationError(f"The station keeps dying. {self._link.last_words()}")
        told = Trouble(
            self._frame, f"The station died and was started again. {self._link.last_words()}"
        )
        again: list[tuple[int, InEvent]] = [
            (0, SetFact(fact.fact, fact.value, fact.source)) for fact in self._facts.values()
        ]
        again += [(0, event) for event in (*self._signal, *self._readability)]
        if self._segment:
            again += [(0, StartSession()), (0, Jump(self._segment, JumpTiming.NOW))]
        if self._plain:  # which holds the session, too
            again.append((0, self._plain))
        elif self._segment and not self._clock_runs:
            again.append((0, Hold()))
        self._orders = self._rest_of_orders()
        self._frame = 0
        self._began = time.monotonic()
        self._link.start()
        self._link.give(replace(self._orders, agenda=(*again, *self._orders.agenda)))
        return told

    def _rest_of_orders(self) -> Orders:
        """What is still to be done of the orders, for a station whose frame 0 is now."""
        now, length = self._frame, self._orders.length
        return replace(
            self._orders,
            length=None if length is None else max(0, length - now),
            agenda=tuple((at - now, event) for at, event in self._orders.agenda if at > now),
        )
