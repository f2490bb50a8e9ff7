"""A station with its room open, on a real broker; and somebody in the room."""

import json
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from broadcaster.clock import SystemClock
from broadcaster.room.room import Room
from broadcaster.script.venue_settings import (
    FactSettings,
    LampSettings,
    MqttSettings,
    VenueSettings,
)
from broadcaster.story.events import (
    Coming,
    FactChanged,
    InEvent,
    ItemStarted,
    OutEvent,
    OutputStarted,
    SegmentEntered,
    SessionStarted,
    SetFact,
    SettingsRead,
    StationOpened,
    Trouble,
)
from tests.room.broker import Broker, Somebody
from tests.room.make import Noted, two_segments

OPENED = StationOpened("A Test", "Test", 1, "silent", "as asked", "1958-11-03T20:00:00+00:00")
STANDING: list[OutEvent] = [
    OPENED,
    SessionStarted(0),
    SegmentEntered(0, "watch", "the opening"),
    ItemStarted(0, 96_000, "watch", "say", "one", None, 1, 1, 1, words=((0, "one"),)),
    Coming(0, (("watch", "say", "one"), ("the gate", "say", "two"))),
    FactChanged(10, "crates", 2, "serial"),
]
"""How things stand with it."""


class OnAir(Noted):
    """A station with its room open."""

    def __init__(self, at: Broker, folder: Path, **mqtt: Any) -> None:
        super().__init__()
        section = MqttSettings(**{"broker": at.address, "port": at.port, **mqtt})
        facts = {"gate": FactSettings(named="fen/gate 1")}
        lamp = LampSettings(over=("mqtt",), latency=0.0)
        settings = VenueSettings(mqtt=section, facts=facts, lamp=lamp)
        settings = settings.model_copy(update={"file": folder / "station.yaml"})
        self.room = Room(settings, two_segments(), self, SystemClock())
        self.room.start()
        self.room.hear([OutputStarted(0, "1958-11-03T20:00:00+00:00")], True)

    def report(self, event: OutEvent) -> None:
        if not isinstance(event, SettingsRead):  # how it began is no news here
            super().report(event)

    @property
    def facts(self) -> list[tuple[str, Any]]:
        return [(event.fact, event.value) for event in self.sent if isinstance(event, SetFact)]

    @property
    def commands(self) -> list[InEvent]:
        return [event for event in self.sent if not isinstance(event, SetFact)]

    @property
    def troubles(self) -> list[str]:
        return [event.sentence for event in self.reports if isinstance(event, Trouble)]


@contextmanager
def on_air(at: Broker, folder: Path, **mqtt: Any) -> Iterator[OnAir]:
    station = OnAir(at, folder, **mqtt)
    try:
        yield station
    finally:
        station.room.close()


@contextmanager
def somebody(broker: Broker) -> Iterator[Somebody]:
    one = Somebody(broker)
    try:
        yield one
    finally:
        one.leave()


def statuses(room: Somebody, name: str = "test") -> list[dict[str, Any]]:
    return [json.loads(payload) for payload in room.on(f"venue/{name}/status")]


def is_on_air(room: Somebody) -> bool:
    """Whether the station says so now; what the broker had kept does not count."""
    told = [payload for topic, payload, kept in list(room.heard) if not kept and "/status" in topic]
    return bool(told) and json.loads(told[-1])["station"] == "on air"
