"""The room's loop: parts come and go, and whatever they do, the desk goes on."""

import asyncio
import sys
import threading
import time
from collections.abc import Callable
from types import SimpleNamespace
from typing import Any

from broadcaster.clock import SystemClock
from broadcaster.errors import UsageError
from broadcaster.room import room as rooms
from broadcaster.room.commands import Report
from broadcaster.room.part import KeyLine, Surroundings
from broadcaster.room.room import Room
from broadcaster.script.venue_settings import (
    FactSettings,
    LampSettings,
    OscSettings,
    SerialSettings,
    VenueSettings,
)
from broadcaster.story.events import (
    FactChanged,
    OutEvent,
    OutputStarted,
    SetFact,
    SettingsRead,
    Trouble,
)
from tests.room.make import Noted, two_segments

STARTED = OutputStarted(0, "1958-11-03T20:00:00")


class Sound:
    """A part that runs until it is cancelled, and notes what it is told."""

    def __init__(self, around: Surroundings) -> None:
        self.around = around
        self.told: list[OutEvent] = []
        self.closed = False
        self.runs = 0

    async def run(self) -> None:
        self.runs += 1
        try:
            await asyncio.sleep(60)
        finally:
            await asyncio.sleep(0)
            self.closed = True

    def tell(self, event: OutEvent) -> None:
        self.told.append(event)


class Failing(Sound):
    async def run(self) -> None:
        self.runs += 1
        raise ConnectionRefusedError("nobody is there")


class Broken(Sound):
    def tell(self, event: OutEvent) -> None:
        raise KeyError("a mistake of ours")


class Opened:
    """A room whose `osc` and `serial` are parts of ours."""

    def __init__(self, monkeypatch, *parts: type[Sound], settings: Any = None) -> None:
        self.parts: list[Sound] = []
        self.station = Noted()
        names = ("osc", "serial")
        for name, kind in zip(names, parts, strict=False):
            module = SimpleNamespace(open_part=self._opener(kind))
            monkeypatch.setitem(sys.modules, f"tests.room.of_{name}", module)
            monkeypatch.setitem(rooms.OPENERS, name, f"tests.room.of_{name}")
        named = {"osc": OscSettings(), "serial": SerialSettings(port="x")}
        chosen = {name: named[name] for name, _ in zip(names, parts, strict=False)}
        self.room = Room(
            settings or VenueSettings(**chosen), two_segments(), self.station, SystemClock()
        )
        self.room.start()

    def _opener(self, kind: type[Sound]) -> Callable[..., Sound]:
        def open_part(section: object, around: Surroundings) -> Sound:
            assert section is not None
            self.parts.append(kind(around))
            return self.parts[-1]

        return open_part

    @property
    def troubles(self) -> list[str]:
        return [event.sentence for event in self.station.reports if isinstance(event, Trouble)]


def soon(holds: Callable[[], object]) -> None:
    """Wait until something holds; not for ever."""
    deadline = time.monotonic() + 5.0
    while not holds():
        assert time.monotonic() < deadline, "it never came to be"
        time.sleep(0.002)


def test_nothing_is_opened_before_the_station_is_on_air(monkeypatch) -> None:
    """Then every part that is named, and told what happens, in order; and that is reported."""
    opened = Opened(monkeypatch, Sound)
    early = FactChanged(0, "lamp", True, "room")
    opened.room.hear([early], True)
    time.sleep(0.05)
    assert opened.parts == []
    opened.room.hear([STARTED], True)
    soon(lambda: opened.parts and len(opened.parts[0].told) == 2)
    assert opened.parts[0].told == [early, STARTED]
    (told,) = opened.station.reports
    assert isinstance(told, SettingsRead)
    assert told.sentence.endswith("OSC nowhere.")
    opened.room.close()


def test_how_things_stand_is_no_news(monkeypatch) -> None:
    """A desk that meets a station on air opens the room; the status knows, the parts are not told
    again."""
    opened = Opened(monkeypatch, Sound)
    opened.room.hear([FactChanged(0, "lamp", True, "room")], False)
    soon(lambda: opened.parts and opened.room.status.as_record()["facts"]["lamp"])
    opened.room.hear([STARTED], True)
    soon(lambda: opened.parts[0].told)
    assert opened.parts[0].told == [STARTED]
    opened.room.close()


def test_closing_lets_every_part_close(monkeypatch) -> None:
    """Each is cancelled and waited for, and the thread is gone."""
    opened = Opened(monkeypatch, Sound, Sound)
    opened.room.hear([STARTED], True)
    soon(lambda: [part.runs for part in opened.parts] == [1, 1])
    opened.room.close()
    assert all(part.closed for part in opened.parts)
    assert "room" not in [thread.name for thread in threading.enumerate()]


def test_a_room_that_never_opened_closes_at_once(monkeypatch) -> None:
    """The station did not come on air."""
    opened = Opened(monkeypatch, Sound)
    opened.room.close()
    assert opened.parts == []


def test_a_part_that_fails_is_told_once_and_tried_again(monkeypatch) -> None:
    """And the other part does not notice."""
    monkeypatch.setattr(rooms, "FIRST_WAIT_S", 0.001)
    opened = Opened(monkeypatch, Failing, Sound)
    opened.room.hear([STARTED], True)
    soon(lambda: opened.parts and opened.parts[0].runs > 3)
    opened.room.close()
    assert opened.troubles == ["The room's `osc` failed: nobody is there. It is tried again."]
    assert opened.parts[1].runs == 1


def test_a_part_that_cannot_be_made_is_missed_and_told(monkeypatch) -> None:
    """A secret that is not there, a library that is not installed."""

    class Unmade(Sound):
        def __init__(self, around: Surroundings) -> None:
            raise UsageError("The environment variable X is not set, or is empty.")

    opened = Opened(monkeypatch, Unmade, Sound)
    opened.room.hear([STARTED], True)
    soon(lambda: opened.parts and opened.parts[0].told)
    opened.room.close()
    assert opened.troubles == [
        "The room's `osc` cannot be opened: The environment variable X is not set, or is empty."
    ]


def test_a_mistake_in_a_part_hurts_no_other(monkeypatch, capfd) -> None:
    """It is told once, and not written over the console."""
    opened = Opened(monkeypatch, Broken, Sound)
    opened.room.hear([STARTED, STARTED, STARTED], True)
    soon(lambda: len(opened.parts) == 2 and len(opened.parts[1].told) == 3)
    opened.room.close()
    assert len(opened.troubles) == 1
    assert "a mistake of ours" in opened.troubles[0]
    assert capfd.readouterr() == ("", "")


def test_what_had_to_wait_is_sent_by_the_room(monkeypatch) -> None:
    """Nobody else pumps."""
    facts = {"lamp": FactSettings(steady_for=0.02)}
    settings = VenueSettings(osc=OscSettings(), facts=facts)
    opened = Opened(monkeypatch, Sound, settings=settings)
    opened.room.hear([STARTED], True)
    soon(lambda: opened.parts and opened.parts[0].runs)
    opened.room.intake.take("osc", Report("lamp", True))
    soon(lambda: opened.station.sent)
    assert opened.station.sent == [SetFact("lamp", True, "osc")]
    opened.room.close()


def test_the_lamp_finds_what_drives_it(monkeypatch) -> None:
    """It is made last, and meets the parts that were made before it by their names."""

    class Line(Sound):
        def key(self, *, down: bool) -> None: ...

    opened = Opened(
        monkeypatch,
        Line,
        settings=VenueSettings(osc=OscSettings(), lamp=LampSettings(over=("osc",))),
    )
    module = SimpleNamespace(open_part=opened._opener(Sound))
    monkeypatch.setitem(sys.modules, "tests.room.of_lamp", module)
    monkeypatch.setitem(rooms.OPENERS, "lamp", "tests.room.of_lamp")
    opened.room.hear([STARTED], True)
    soon(lambda: len(opened.parts) == 2 and opened.parts[1].runs)
    assert isinstance(opened.parts[1].around.parts["osc"], KeyLine)
    opened.room.close()
