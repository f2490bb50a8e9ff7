"""The station's loop: what it does with what the desk sends."""

from collections import deque
from types import SimpleNamespace
from typing import Any

from broadcaster.air.station import Station
from broadcaster.clock import VirtualClock
from broadcaster.story.events import CloseStation, GiveHint, InEvent, OutEvent, Placed
from broadcaster.units import Samples, silence


class Received:
    """A broadcast that only notes what it is given."""

    def __init__(self) -> None:
        self.events: list[tuple[InEvent, int | None]] = []
        self.over = False

    def receive(self, event: InEvent, frame: int | None = None) -> None:
        self.events.append((event, frame))

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
    output: Any = None
    Station(broadcast, output, link, b"", VirtualClock()).fill()
    assert broadcast.events == [(GiveHint(), None), (GiveHint(), 96_000)]
    assert broadcast.over
