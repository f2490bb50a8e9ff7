"""Small programmes for the story's tests, made in code."""

from typing import Any

from broadcaster.script.programme import Exit, Pause, Programme, Say, Segment, Station
from broadcaster.story.cue import Cue
from broadcaster.story.events import InEvent, OutEvent
from broadcaster.story.machine import Story
from broadcaster.story.state import State
from broadcaster.units import frames_from_seconds


def say(text: str, **options: Any) -> Say:
    return Say(say=text, **options)


def pause(length: str) -> Pause:
    return Pause(pause=length)


def segment(*play: Any, exits: tuple[dict[str, str], ...] = (), repeat: bool = True) -> Segment:
    return Segment(play=play, repeat=repeat, exits=tuple(Exit(**way) for way in exits))


def programme(
    segments: dict[str, Segment],
    facts: dict[str, bool | int] | None = None,
    session: str = "60 min",
) -> Programme:
    return Programme(
        programme="A test",
        station=Station(callsign="Test", frequency="91.3 MHz", voice="keeper"),
        opening=next(iter(segments)),
        segments=segments,
        facts=facts or {},
        session=session,
    )


class Run:
    """A story with a frame count: events are put in, borders are crossed by hand."""

    def __init__(self, script: Programme) -> None:
        self.story = Story(script)
        self.state: State = self.story.stand_by()
        self.frame = 0
        self.told: list[OutEvent] = []
        self.cut = False

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
        return self

    def border(self) -> Cue | None:
        turn = self.story.advance(self.state, self.frame)
        self.state = turn.state
        self.told += turn.events
        return turn.cue

    def texts(self, count: int) -> list[str]:
        cues = [self.border() for _ in range(count)]
        return [cue.text if cue else "-" for cue in cues]
