"""The station's loop: what it does with what the desk sends."""

from collections import deque
from types import SimpleNamespace
from typing import Any

from broadcaster.air.ring import Ring, pcm_from_samples
from broadcaster.air.station import Station
from broadcaster.clock import VirtualClock
from broadcaster.story.events import (
    CloseStation,
    FactChanged,
    GiveHint,
    InEvent,
    OutEvent,
    Placed,
    SetFact,
    Trouble,
)
from broadcaster.story.state import State
from broadcaster.units import Samples, silence


class Received:
    """A broadcast that only notes what it is given."""

    def __init__(self) -> None:
        self.events: list[tuple[InEvent, int | None]] = []
        self.obeyed = 0
        self.over = False
        self.frame = 0
        self.checkpoint = State(())

    def receive(self, event: InEvent, frame: int | None = None) -> None:
        self.events.append((event, frame))

    def obey(self) -> None:
        self.obeyed = len(self.events)

    def finish(self) -> None:
        self.over = True

    def render(self, frames: int) -> Samples:
        return silence(0)

    def take_events(self) -> list[OutEvent]:
        return []


def test_an_event_is_obeyed_at_once_or_on_the_frame_it_is_placed_on() -> None:
    """And CloseStation ends the broadcast."""
    broadcast: Any = Received()
    inbox = deque([GiveHint(), Placed(GiveHint(), 96_000), CloseStation()])
    link: Any = SimpleNamespace(inbox=inbox, tell=print)
    Station(broadcast, _no_output(), link, b"", VirtualClock()).fill()
    assert broadcast.events == [(GiveHint(), None), (GiveHint(), 96_000)]
    assert broadcast.over


def test_an_event_is_obeyed_before_the_output_wants_frames() -> None:
    """The ring is full, nothing is rendered, and what the event changed is told."""
    broadcast: Any = Received()
    told: list[OutEvent] = []
    link: Any = SimpleNamespace(inbox=deque([SetFact("lamp", True)]), tell=told.extend)
    broadcast.take_events = lambda: [FactChanged(0, "lamp", True, "operator")]
    Station(broadcast, _no_output(), link, b"", VirtualClock()).fill(0)
    assert broadcast.obeyed == 1
    assert told == [FactChanged(0, "lamp", True, "operator")]


def test_an_event_that_the_broadcast_fails_at_does_not_end_the_station() -> None:
    """It is told, and the loop goes on."""
    broadcast: Any = Received()
    told: list[OutEvent] = []
    link: Any = SimpleNamespace(inbox=deque([GiveHint()]), tell=told.extend)
    broadcast.obey = lambda: 1 / 0
    station = Station(broadcast, _no_output(), link, b"", VirtualClock())
    station.fill(0)
    station.fill(0)
    assert [type(event) for event in told] == [Trouble]


class Drying:
    """An output that runs short at each look, until nothing is left in the ring."""

    side = None
    name = "silent"
    underruns = 0

    def start(self, ring: Ring, filler: bytes) -> None:
        self.ring = ring

    def playing(self) -> bool:
        self.underruns += 1
        self.ring.read(1024)
        return True


def test_a_ring_that_runs_dry_at_the_end_is_no_underrun() -> None:
    """What the output lacks once the broadcast is over is not counted."""
    broadcast: Any = Received()
    broadcast.over = True
    link: Any = SimpleNamespace(inbox=deque(), tell=lambda events: None)
    output: Any = Drying()
    station = Station(broadcast, output, link, b"", VirtualClock())
    output.start(station._ring, b"")
    station._ring.write(pcm_from_samples(silence(4096)))
    assert station.run() == 4096
    assert output.underruns == 4
    assert station.underruns == 0


def _no_output() -> Any:
    """An output that is asked for nothing but its side."""
    return SimpleNamespace(side=None)
