"""What is on air, and how the as-run events tell of it."""

from dataclasses import dataclass
from typing import TypedDict

from broadcaster.story.cue import Carrier, Cue
from broadcaster.story.events import ItemAired, ItemStarted, WordTimes
from broadcaster.story.state import Phase
from broadcaster.units import Samples


@dataclass(slots=True)
class OnAir:
    """The item on air. Without samples it is the carrier; without an end it lasts until cut."""

    cue: Cue
    start: int
    end: int | None
    samples: Samples | None = None
    fade_from: int | None = None
    """The item is cut: it fades from this frame to its end."""
    awaited: Cue | None = None
    """The late item for which the carrier covers."""
    awaited_since: int = 0


@dataclass(frozen=True, slots=True)
class Stretch:
    """Frames in which nothing changes: the same item is on air from `start` to before `stop`."""

    start: int
    stop: int
    on_air: OnAir
    cut: bool
    """The item began to fade on the first of these frames."""


def idle(phase: Phase, segment: str) -> Cue:
    """The carrier alone, until an event comes."""
    text = "held" if phase is Phase.ON_AIR else "stand by"
    return Cue(segment, Carrier(carrier=0.0), text)


def stand_in(cue: Cue) -> Cue:
    """The carrier in the place of an item that is late or cannot be made, or must wait."""
    return Cue(cue.segment, Carrier(carrier=0.0), "carrier", round=cue.round, part=cue.part)


class _Description(TypedDict):
    segment: str
    item: str
    text: str
    clue: str | None
    time: int
    times: int
    round: int
    part: str


def started(cue: Cue, start: int, end: int, words: WordTimes) -> ItemStarted:
    """What is told when an item goes on air."""
    return ItemStarted(start, end, **_described(cue), words=words)


def aired(cue: Cue, start: int, end: int, *, complete: bool) -> ItemAired:
    """The as-run entry of an item."""
    return ItemAired(start, end, **_described(cue), complete=complete)


def _described(cue: Cue) -> _Description:
    """What as-run events tell of a cue."""
    return {
        "segment": cue.segment,
        "item": cue.item.kind,
        "text": cue.text,
        "clue": cue.item.clue,
        "time": cue.time,
        "times": cue.item.times,
        "round": cue.round,
        "part": cue.part.value,
    }
