"""Small programmes for the story's tests, made in code."""

from datetime import datetime
from typing import Any, TypeVar

from broadcaster.script.programme import (
    Choose,
    Exit,
    Pause,
    Pips,
    Programme,
    Say,
    Segment,
    SetFacts,
    Station,
    TimetableEntry,
)
from broadcaster.story.cue import Cue
from broadcaster.story.events import InEvent, OutEvent
from broadcaster.story.machine import Story
from broadcaster.story.state import State
from broadcaster.units import frames_from_seconds

Told = TypeVar("Told", bound=OutEvent)
MINUTE = 60 * 48_000


def say(text: str, **options: Any) -> Say:
    return Say(say=text, **options)


def pause(length: str) -> Pause:
    return Pause(pause=length)


def pips(count: int) -> Pips:
    return Pips(pips=count)


def choose(*variants: Any, **options: Any) -> Choose:
    return Choose(choose=variants, **options)


def remember(**facts: Any) -> SetFacts:
    return SetFacts(set=facts)


def segment(
    *play: Any,
    exits: tuple[dict[str, str], ...] = (),
    repeat: bool = True,
    hints: tuple[Any, ...] = (),
    **options: Any,
) -> Segment:
    """Options: `automatic_hints`, `hint_every`, `readability`, `signal`."""
    ways = tuple(Exit(**way) for way in exits)
    return Segment(play=play, repeat=repeat, exits=ways, hints=hints, **options)


def entry(*play: Any, **options: Any) -> TimetableEntry:
    """Options: `at`, `every`, `from`, `daily`, `segment`, `late`."""
    return TimetableEntry(play=play, **options) if play else TimetableEntry(**options)


def programme(
    segments: dict[str, Segment],
    facts: dict[str, Any] | None = None,
    session: str = "60 min",
    milestones: dict[str, dict[str, str]] | None = None,
    timetable: tuple[TimetableEntry, ...] = (),
    **station: Any,
) -> Programme:
    """Options: the station's `readability`, `signal`, `transition`."""
    return Programme(
        programme="A test",
        station=Station(callsign="Test", frequency="91.3 MHz", voice="keeper", **station),
        opening=next(iter(segments)),
        segments=segments,
        facts=facts or {},
        session=session,
        milestones=milestones or {},
        timetable=timetable,
    )


class Run:
    """A story with a frame count: events are put in, borders are crossed by hand."""

    def __init__(self, script: Programme, seed: int = 0, opened: datetime | None = None) -> None:
        self.story = Story(script, seed, opened)
        self.state: State = self.story.stand_by()
        self.frame = 0
        self.told: list[OutEvent] = []
        self.cut = False
        self.opening = ""

    def after(self, seconds: float) -> "Run":
        self.frame += frames_from_seconds(seconds)
        return self

    def send(self, event: InEvent) -> "Run":
        turn = self.story.receive(self.state, event, self.frame)
        self.state, self.cut = turn.state, turn.cut
        self.told += turn.events
        return self

    def tick(self) -> "Run":
        turn = self.story.tick(self.state, self.frame)
        self.state, self.cut = turn.state, turn.cut
        self.told += turn.events
        return self

    def wait(self) -> int:
        """Let time pass until it changes something; how many frames that took."""
        wait = self.story.frames_until_change(self.state, self.frame)
        assert wait is not None
        self.frame += wait
        self.tick()
        return wait

    def session_minutes(self) -> float:
        return (self.frame - self.state.session_frame) / MINUTE

    def heard(self, kind: type[Told]) -> list[Told]:
        """What was told of one kind, in order."""
        return [event for event in self.told if isinstance(event, kind)]

    def border(self) -> Cue | None:
        turn = self.story.advance(self.state, self.frame)
        self.state = turn.state
        self.told += turn.events
        return turn.cue

    def texts(self, count: int) -> list[str]:
        cues = [self.border() for _ in range(count)]
        return [cue.text if cue else "-" for cue in cues]
