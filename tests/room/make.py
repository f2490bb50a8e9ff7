"""A station for the tests of room/: it only notes what it is told."""

from broadcaster.clock import VirtualClock
from broadcaster.room.intake import Intake
from broadcaster.script.programme import Programme
from broadcaster.script.venue_settings import FactSettings
from broadcaster.story.events import InEvent, OutEvent, Refused
from tests.story import make as story


class Noted:
    """The door of a station."""

    def __init__(self) -> None:
        self.frame = 0
        self.sent: list[InEvent] = []
        self.reports: list[OutEvent] = []

    def send(self, event: InEvent) -> None:
        self.sent.append(event)

    def report(self, event: OutEvent) -> None:
        self.reports.append(event)

    @property
    def refused(self) -> list[str]:
        """The sentences that were shown."""
        return [event.sentence for event in self.reports if isinstance(event, Refused)]


def two_segments() -> Programme:
    """A fact of each kind, two segments."""
    return story.programme(
        {"watch": story.segment(story.say("one")), "the gate": story.segment(story.say("two"))},
        facts={
            "lamp": False,
            "crates": {"at first": 0, "from": 0, "to": 4},
            "gate": {"at first": "closed", "one of": ("closed", "ajar")},
        },
    )


def intake_of(**settings: FactSettings) -> tuple[Intake, Noted, VirtualClock]:
    """An intake for two_segments(), the station behind it, and its clock."""
    station, clock = Noted(), VirtualClock()
    return Intake(two_segments(), settings, station, clock), station, clock
