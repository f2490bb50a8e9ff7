"""How soon the station knows what the room says: `python -m tests.benchmarks facts`.

A station is on air, and facts come at 100 messages a second. From the moment that a message is
given to the inlet to the moment that the desk hears the station tell of the change: the way there
and the way back. Then a flood, which must not cost the station one late frame.
"""

import contextlib
import json
import os
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass, field

import numpy as np

from broadcaster.air.orders import Orders
from broadcaster.clock import SystemClock
from broadcaster.desk.airing import Airing
from broadcaster.desk.link import StationLink
from broadcaster.record.asrun import AsRunLog
from broadcaster.room.commands import Report
from broadcaster.room.room import Room
from broadcaster.script.loading import load_programme
from broadcaster.script.venue_settings import VenueSettings
from broadcaster.story.events import FactChanged, OutEvent, OutputState, StartSession
from tests.benchmarks.figures import figure, heading
from tests.benchmarks.on_air import a_home
from tests.end_to_end.run import DEMO

FACT, VALUES = "crates_open", 5
"""A number of the demo's, and how many values it has."""
MESSAGES_A_SECOND = 100
MEASURED_S = 20.0
FLOOD_A_SECOND, FLOOD_S = 5_000, 60.0
WARM_UP_S = 5.0


@dataclass
class OnAir:
    """A station with its desk and room, and what it told of the fact."""

    room: Room
    changes: list[tuple[float, int]] = field(default_factory=list)
    """When a change was heard of, and the value."""
    underruns: int = 0

    def hear(self, events: Sequence[OutEvent], news: bool) -> None:
        """What the station told."""
        now_s = time.monotonic()
        for event in events:
            if isinstance(event, FactChanged) and event.fact == FACT:
                self.changes.append((now_s, int(event.value)))
            if isinstance(event, OutputState):
                self.underruns = event.underruns
        self.room.hear(events, news)


@dataclass(frozen=True)
class Flood:
    """What was sent in a flood."""

    sent: int
    seconds: float
    last: int
    """The value that was sent last."""
    accepted: int | None = None
    """How many messages were taken, where the inlet answers."""


@contextlib.contextmanager
def on_air(settings: VenueSettings, output: str = "silent") -> Iterator[OnAir]:
    """The demo on air, its session begun, with the parts that the settings name."""
    with a_home() as home:
        os.environ.update(home.environment)
        (home.folder / "xdg_runtime_dir").mkdir(exist_ok=True)
        programme = load_programme(str(DEMO))
        link = StationLink("facts")
        link.start()
        orders = Orders(
            programme=programme,
            output=output,
            cache_folder=home.folder / "speech",
            agenda=((0, StartSession()),),
        )
        link.give(orders)
        clock = SystemClock()
        airing = Airing(link, orders, AsRunLog(home.folder / "log.jsonl"), clock)
        room = Room(settings, programme, airing, clock)
        station = OnAir(room)
        airing.listen(station.hear)
        room.start()
        over = threading.Event()
        follower = threading.Thread(target=_follow, args=(airing, over))
        follower.start()
        time.sleep(WARM_UP_S)
        try:
            yield station
        finally:
            room.close()
            over.set()
            follower.join()
            airing.close()


def _follow(airing: Airing, over: threading.Event) -> None:
    """Watch, as a desk does."""
    while not over.wait(0.02):
        airing.events()


def measure(station: OnAir, tell: Callable[[int], object]) -> None:
    """Print how soon the station knew what `tell` told the inlet, each time another value."""
    station.changes.clear()
    sent_s = []
    began_s = time.monotonic()
    for number in range(round(MEASURED_S * MESSAGES_A_SECOND)):
        time.sleep(max(0.0, began_s + number / MESSAGES_A_SECOND - time.monotonic()))
        sent_s.append(time.monotonic())
        tell((number + 1) % VALUES)
    time.sleep(1.0)
    heard = [value for _, value in station.changes]
    if heard != [(number + 1) % VALUES for number in range(len(sent_s))]:
        figure("facts that came through", f"{len(heard)} of {len(sent_s)}")
        return
    delays_ms = [
        1000 * (heard_s - at_s) for (heard_s, _), at_s in zip(station.changes, sent_s, strict=True)
    ]
    median, late, latest = np.percentile(delays_ms, (50, 99, 100))
    figure("fact told to change heard of, median", f"{median:.1f} ms")
    figure("99th percentile", f"{late:.1f} ms", "under 20 ms")
    figure("longest", f"{latest:.1f} ms")


def flood(station: OnAir, tell: Callable[[int], object], seconds: float = FLOOD_S) -> None:
    """Print what a flood does to the station: nothing, but for the newest value."""

    def send() -> Flood:
        sent = 0
        began_s = time.monotonic()
        while time.monotonic() < began_s + seconds:
            for _ in range(max(0, int((time.monotonic() - began_s) * FLOOD_A_SECOND) - sent)):
                sent += 1
                tell(sent % VALUES)
            time.sleep(0.002)
        tell(last := (sent + 1) % VALUES)
        return Flood(sent, seconds, last)

    _weather(station, send)


def flood_from_elsewhere(station: OnAir, module: str, port: int) -> None:
    """The same, sent by another process: the module of that name, given the port.

    It prints its Flood as JSON.
    """

    def send() -> Flood:
        flooding = subprocess.run(
            [sys.executable, "-m", module, str(port)], stdout=subprocess.PIPE, text=True, check=True
        )
        return Flood(**json.loads(flooding.stdout))

    _weather(station, send)


def _weather(station: OnAir, send: Callable[[], Flood]) -> None:
    station.changes.clear()
    before = station.underruns
    told = send()
    time.sleep(2.0)
    rate = told.sent / told.seconds
    figure("messages sent", f"{told.sent} ({rate:.0f} a second)", f"{FLOOD_A_SECOND} a second")
    if told.accepted is not None:
        figure("accepted", f"{told.accepted}", "all")
    figure("changes that the station obeyed", f"{len(station.changes)}")
    figure("late frames", f"{station.underruns - before} gaps", "none")
    figure("the newest value is right", str(station.changes[-1][1] == told.last), "True")


def main() -> None:
    """Print the figures of the intake itself; each inlet adds its own."""
    with on_air(VenueSettings()) as station:
        take = station.room.intake.take
        heading(f"Facts at {MESSAGES_A_SECOND} a second, given to the intake")
        measure(station, lambda value: take("benchmark", Report(FACT, value)))
        heading(f"A flood of facts for {FLOOD_S:.0f} s, given to the intake")
        flood(station, lambda value: take("benchmark", Report(FACT, value)))


if __name__ == "__main__":
    main()
