"""What a way in or out of the station is, and what it is given."""

from dataclasses import dataclass, field
from typing import Protocol, runtime_checkable

from broadcaster.clock import Clock
from broadcaster.room.intake import Intake
from broadcaster.room.status import Status
from broadcaster.script.programme import Programme
from broadcaster.script.venue_settings import VenueSettings
from broadcaster.story.events import InEvent, OutEvent, Trouble
from broadcaster.story.standing import Standing


class Door(Protocol):
    """The station, as the room knows it: desk.Airing is one."""

    @property
    def frame(self) -> int:
        """The frame at which the station is, as last told."""

    def send(self, event: InEvent) -> None:
        """Put an event through the door; from any thread, and without waiting."""

    def report(self, event: OutEvent) -> None:
        """Say something of the room's own on the console and in the log; from any thread."""


class Part(Protocol):
    """One way in, out, or both: made from its section of the settings.

    All parts live in one asyncio loop, in a thread of the desk. None may block it.
    """

    async def run(self) -> None:
        """Do its work until cancelled, and then let go of all that was opened.

        Whatever it raises (and its return) means that it failed: it is told once as a Trouble, and
        run() is called again after a while, longer each time.
        """

    def tell(self, event: OutEvent) -> None:
        """Something happened on air. In the loop, in order; returns at once."""


@runtime_checkable
class KeyLine(Protocol):
    """A part that can drive a lamp."""

    def key(self, *, down: bool) -> None:
        """The key goes down, or up, now. In the loop; returns at once."""


@dataclass(frozen=True, slots=True)
class Surroundings:
    """What every part is made with."""

    settings: VenueSettings
    programme: Programme
    intake: Intake
    """Where all that comes in goes."""
    status: Status
    """How things stand on air."""
    door: Door
    clock: Clock
    parts: dict[str, Part] = field(default_factory=dict)
    """The parts made before this one, by their sections' names; the lamp is made last."""
    standing: Standing = field(default_factory=Standing)
    """How things stand on air, as events, for whoever must know all that a desk knows."""
    missed: set[str] = field(default_factory=set)
    """The sections whose part failed, and was told of, and is not back yet."""

    def trouble(self, sentence: str) -> None:
        """Something failed that a person should know of; once, not each time."""
        self.door.report(Trouble(self.door.frame, sentence))

    def is_well(self, section: str) -> None:
        """A part does its work; told only if it was missed."""
        if section in self.missed:
            self.missed.remove(section)
            self.trouble(f"The room's `{section}` is back.")
