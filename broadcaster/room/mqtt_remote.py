"""A station on another machine, as a console sees it: the same door as the desk's own Airing."""

import secrets
import socket
import threading
from collections import deque
from collections.abc import Callable, Mapping
from typing import Any

from broadcaster.room.commands import message_of
from broadcaster.room.mqtt_consoles import events_in
from broadcaster.room.mqtt_programme import programme_from
from broadcaster.room.mqtt_topics import level_of
from broadcaster.script.programme import Programme
from broadcaster.story.events import (
    CloseStation,
    InEvent,
    OutEvent,
    OutputState,
    Refused,
    StationClosed,
    Trouble,
)

LONGEST_HOST = 40
MOST_UNREAD = 20_000
"""Events that wait for the console; it reads ten times a second."""


class RemoteAiring:
    """One station, from when its console is opened until it is left."""

    def __init__(
        self, station: str, send: Callable[["RemoteAiring", dict[str, Any]], None]
    ) -> None:
        """`send` takes a message for the station, from any thread."""
        self.station = station
        self.name = f"{level_of(socket.gethostname())[:LONGEST_HOST]}-{secrets.token_hex(2)}"
        """This console's, on the broker."""
        self.programme: Programme | None = None
        self.monitor = None
        """No headphones: they are at the station's desk."""
        self.anew = True
        """Whether it must be told again how things stand."""
        self.ready = threading.Event()
        """Set once the programme and how things stand are known."""
        self._send = send
        self._unread: deque[OutEvent] = deque(maxlen=MOST_UNREAD)
        self._number = 0
        self._frame = 0
        self._hindrance = ""
        self._closed = self._left = False

    # --- the console's end -----------------------------------------------------------------------

    @property
    def over(self) -> bool:
        """Whether the station has closed, or the console was left, and all was read."""
        return self._left or (self._closed and not self._unread)

    @property
    def closed(self) -> bool:
        """Whether the station has said that it goes off air."""
        return self._closed

    def events(self) -> list[OutEvent]:
        """What came since last asked."""
        return [self._unread.popleft() for _ in range(len(self._unread))]

    def send(self, event: InEvent | CloseStation) -> None:
        """What the operator does. Nobody takes a station off air from here: the console leaves."""
        if isinstance(event, CloseStation):
            self._left = True
        elif self._hindrance:
            self._tell(Refused(self._frame, f"Nothing was sent. {self._hindrance}"))
        else:
            self._send(self, {**message_of(event), "id": secrets.token_hex(8)})

    # --- the line's end --------------------------------------------------------------------------

    def hear_programme(self, record: Mapping[str, Any]) -> None:
        """What the console must know. Raises StationError if it cannot be understood."""
        if self.programme is None:
            self.programme = programme_from(record)

    def hear(self, package: Mapping[str, Any]) -> None:
        """A package of events. One that does not follow on the last is worth nothing.

        Raises ValueError, TypeError or KeyError if it is none.
        """
        number, standing, events = events_in(package)
        if not standing and (self.anew or number != self._number + 1):
            self.anew = True
            return
        if standing:
            self.anew, self._hindrance = False, ""
        self._number = number
        for event in events:
            self._tell(event)
            if isinstance(event, OutputState):
                self._frame = event.frame
        if self.programme:
            self.ready.set()

    def hear_state(self, state: str) -> None:
        """What the broker says of the station: `on air`, `closed`, `offline`."""
        if state == "closed" and not self._closed:
            self._tell(StationClosed(self._frame))
        elif state == "offline":
            self.hinder(
                "The station's desk is not heard any more; whether the station is still on air "
                "cannot be told from here."
            )

    def hinder(self, sentence: str) -> None:
        """There is no way to the station now, and why."""
        self.anew = True
        if sentence != self._hindrance:
            self._hindrance = sentence
            self._tell(Trouble(self._frame, sentence))

    def _tell(self, event: OutEvent) -> None:
        self._closed |= isinstance(event, StationClosed)
        self._unread.append(event)
