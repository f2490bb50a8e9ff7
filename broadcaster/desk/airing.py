"""A broadcast under the desk's care: its events are logged, and a station that dies is replaced."""

import time
from collections import deque
from dataclasses import replace
from typing import TYPE_CHECKING

from broadcaster.air.orders import Orders, ToStation
from broadcaster.clock import Clock
from broadcaster.desk.link import Ear, StationLink
from broadcaster.desk.monitor import Monitor
from broadcaster.desk.timetable import Arming
from broadcaster.errors import StationError
from broadcaster.record.asrun import AsRunLog
from broadcaster.story.events import (
    CloseStation,
    OutEvent,
    OutputState,
    SetFact,
    StationClosed,
    Trouble,
)
from broadcaster.units import frames_from_seconds

if TYPE_CHECKING:  # a desk starts its station before it loads the story
    from broadcaster.story.state import State

MOST_REPORTS = 1000
"""What others may report between two looks; beyond it the oldest is forgotten."""
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
        self._frame = 0
        self._heard_s = time.monotonic()
        self._reports: deque[OutEvent] = deque(maxlen=MOST_REPORTS)
        self._unheard: dict[str, SetFact] = {}
        self._ear: Ear | None = None
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

    @property
    def frame(self) -> int:
        """The frame at which the station was when it last told."""
        return self._frame

    def send(self, event: ToStation) -> None:
        """Put an event through the door, from any thread."""
        if not self._link.send(event) and isinstance(event, SetFact):
            self._unheard[event.fact] = event  # the room will not say it again to a new station

    def report(self, event: OutEvent) -> None:
        """Say something that happened at the desk; from any thread."""
        self._reports.append(event)
        if self._ear:
            self._ear((event,), True)

    def listen(self, ear: Ear) -> None:
        """Have somebody else hear all that events() gives, as soon as it is told."""
        self._ear = ear
        self._link.listen(ear)

    def events(self) -> list[OutEvent]:
        """What happened since last asked; logged. Raises StationError if there is no station."""
        greeting = self._link.greeting()
        for event in greeting:
            self._remember(event)
        told = self._link.events()
        if self._link.gone and not self._link.closed and not told:
            self._replace_station()
        for event in told:
            self._remember(event)
            for due in self._timetable.hear(event, self._clock.wall()):
                self.send(due)
        told += self._reported()
        for event in told:
            self._log.write(event)
        if self._log.trouble and not self._log_missed:
            self._log_missed = True
            self.report(Trouble(self._frame, self._log.trouble))
            told += self._reported()
        return greeting + told

    def close(self, patience_s: float = 5.0) -> None:
        """Take the station off air, if it still is on."""
        self.send(CloseStation())
        deadline = time.monotonic() + patience_s
        while not self.over and time.monotonic() < deadline:
            self.events()
            time.sleep(0.01)

    def _reported(self) -> list[OutEvent]:
        return [self._reports.popleft() for _ in range(len(self._reports))]

    def _remember(self, event: OutEvent) -> None:
        match event:
            case OutputState():
                self._frame = event.frame
                self._heard_s = time.monotonic()
            case StationClosed():
                self.trouble = event.trouble

    def _replace_station(self) -> None:
        """Start a new station where the dead one stood; the time until then has passed, too."""
        lived_s = time.monotonic() - self._began
        self._short_lives = self._short_lives + 1 if lived_s < SHORT_LIFE_S else 0
        if self._short_lives > 1:
            raise StationError(f"The station keeps dying. {self._link.last_words()}".strip())
        sentence = f"The station died and was started again. {self._link.last_words()}"
        self.report(Trouble(self._frame, sentence.strip()))
        if self._link.checkpoint:  # else it had not begun
            self._orders = self._rest_of_orders(self._link.checkpoint)
        self._frame = 0
        self._began = self._heard_s = time.monotonic()
        self._link.start()
        unheard = tuple((0, event) for event in self._take_unheard())
        self._link.give(replace(self._orders, agenda=(*unheard, *self._orders.agenda)))
        for event in self._take_unheard():
            self.send(event)

    def _take_unheard(self) -> list[SetFact]:
        unheard, self._unheard = self._unheard, {}
        return list(unheard.values())

    def _rest_of_orders(self, checkpoint: "State") -> Orders:
        """What is still to be done of the orders, for a station whose frame 0 is now."""
        now = self._frame + frames_from_seconds(time.monotonic() - self._heard_s)
        length = self._orders.length
        return replace(
            self._orders,
            length=None if length is None else max(0, length - now),
            agenda=tuple(
                (max(0, at - now), event) for at, event in self._orders.agenda if at > self._frame
            ),
            state=checkpoint,
            state_frame=now,
        )
