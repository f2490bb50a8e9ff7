"""An HTTP part on a port of its own, in a thread, before a station that only remembers."""

import asyncio
import socket
import threading
import time
from collections.abc import Iterator, Mapping
from contextlib import contextmanager
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from broadcaster.clock import SystemClock
from broadcaster.room.http import HttpPart
from broadcaster.room.http_guard import USUAL, Limits
from broadcaster.room.intake import Intake
from broadcaster.room.part import Surroundings
from broadcaster.room.status import Status
from broadcaster.script.loading import load_programme
from broadcaster.script.venue_settings import FactSettings, HttpSettings, VenueSettings
from broadcaster.story.events import InEvent, OutEvent, SetFact
from tests.ports import free_port

SCRIPT = """\
programme: A Test
station: {callsign: Heron, frequency: 91.3 MHz, voice: keeper}
opening: watch
facts:
  crates_open: {at first: 0, from: 0, to: 4}
  lamp_lit: no
  gate: {at first: shut, one of: [shut, ajar, wide open]}
segments:
  watch:
    about: The first.
    repeat: yes
    play: [{say: One.}]
    hints: [{say: A hint.}]
  the gate: {repeat: yes, play: [{say: Two.}]}
"""
NAMED = {"gate": FactSettings(named="fen/gate 1")}
"""The outside calls one of the facts otherwise, and not in the plainest way."""


@dataclass
class Station:
    """The station, as the room knows it: it hears, and does nothing."""

    heard: list[InEvent] = field(default_factory=list)
    reported: list[OutEvent] = field(default_factory=list)
    frame: int = 0

    def send(self, event: InEvent) -> None:
        self.heard.append(event)

    def report(self, event: OutEvent) -> None:
        self.reported.append(event)

    @property
    def facts(self) -> dict[str, Any]:
        """The newest value of each fact that was sent."""
        return {event.fact: event.value for event in self.heard if isinstance(event, SetFact)}


@dataclass
class Line:
    """The part, on air."""

    url: str
    station: Station
    status: Status
    part: HttpPart
    loop: asyncio.AbstractEventLoop

    def tell(self, *events: OutEvent) -> None:
        """Something happens on air."""
        for event in events:
            self.loop.call_soon_threadsafe(self._tell, event)

    def _tell(self, event: OutEvent) -> None:
        self.status.hear(event)
        self.part.tell(event)


def surroundings(
    folder: Path, http: HttpSettings, facts: Mapping[str, FactSettings] = NAMED
) -> tuple[Surroundings, Station]:
    """Of a part in a folder with a script, and the station behind it."""
    script = folder / "script.yaml"
    script.write_text(SCRIPT)
    programme = load_programme(str(script))
    station, clock = Station(), SystemClock()
    settings = VenueSettings(http=http, facts=dict(facts))
    settings = settings.model_copy(update={"file": folder / "station.yaml"})
    intake = Intake(programme, facts, station, clock)
    around = Surroundings(settings, programme, intake, Status(programme), station, clock)
    return around, station


@contextmanager
def on_the_line(
    folder: Path,
    *,
    limits: Limits = USUAL,
    longest_stream_s: float = 600.0,
    facts: Mapping[str, FactSettings] = NAMED,
    **http: Any,
) -> Iterator[Line]:
    """A part that listens, and is let go of afterwards."""
    settings = HttpSettings(**{"port": free_port(), **http})
    around, station = surroundings(folder, settings, facts)
    part = HttpPart(settings, around, limits=limits, longest_stream_s=longest_stream_s)
    loop = asyncio.new_event_loop()
    running = loop.create_task(part.run())

    async def pump() -> None:  # as the room does
        while True:
            around.intake.pump()
            await asyncio.sleep(0.005)

    pumping = loop.create_task(pump())
    thread = threading.Thread(
        target=lambda: loop.run_until_complete(asyncio.gather(running, return_exceptions=True))
    )
    thread.start()
    scheme = "https" if settings.certificate_file else "http"
    url = f"{scheme}://127.0.0.1:{settings.port}"
    try:
        _wait_for(settings.port)
        yield Line(url, station, around.status, part, loop)
    finally:
        loop.call_soon_threadsafe(pumping.cancel)
        loop.call_soon_threadsafe(running.cancel)
        thread.join(5.0)
        assert not thread.is_alive()
        loop.close()


def _wait_for(port: int) -> None:
    deadline = time.monotonic() + 10.0
    while True:
        try:
            socket.create_connection(("127.0.0.1", port)).close()
        except OSError:
            assert time.monotonic() < deadline
            time.sleep(0.02)
        else:
            return
