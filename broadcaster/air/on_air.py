"""What is on air, and how the as-run events tell of it."""

from dataclasses import dataclass
from typing import TypedDict

from broadcaster.script.transitions import Transition
from broadcaster.story.cue import Carrier, Cue
from broadcaster.story.events import ItemAired, ItemStarted, Part, WordTimes
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
    roughness: float | None = None
    """How rough the period sound is from its first frame on; None: it stays as it was."""
    readability: float | None = None
    """How readable the item is predicted to be at full signal."""
    transition: Transition | None = None
    """What lies over the carrier, where it stands between two segments."""


@dataclass(frozen=True, slots=True)
class Stretch:
    """Frames in which nothing changes: the same item is on air from `start` to before `stop`."""

    start: int
    stop: int
    on_air: OnAir
    strength: float
    """How strong the signal is."""

    @property
    def begins(self) -> bool:
        """Whether what is on air begins with the first of these frames."""
        return self.start == self.on_air.start


def idle(phase: Phase, segment: str) -> Cue:
    """The carrier alone, until an event comes."""
    text = "held" if phase is Phase.ON_AIR else "stand by"
    return Cue(segment, Carrier(carrier=0.0), text)


def stand_in(cue: Cue) -> Cue:
    """The carrier in the place of an item that is late or cannot be made, or must wait."""
    return Cue(cue.segment, Carrier(carrier=0.0), "carrier", round=cue.round, part=cue.part)


def passing(transition: Transition, segment: str) -> Cue:
    """The carrier between two segments; `segment` is the one that comes."""
    return Cue(segment, Carrier(carrier=0.0), transition, part=Part.TRANSITION)


class _Description(TypedDict):
    segment: str
    item: str
    text: str
    clue: str | None
    time: int
    times: int
    round: int
    part: str
    readability: float | None


def started(on_air: OnAir, end: int, words: WordTimes) -> ItemStarted:
    """What is told when an item goes on air that is to end there."""
    return ItemStarted(on_air.start, end, **_described(on_air), words=words)


def aired(on_air: OnAir, end: int, *, complete: bool) -> ItemAired:
    """The as-run entry of an item that ended there."""
    return ItemAired(on_air.start, end, **_described(on_air), complete=complete)


def _described(on_air: OnAir) -> _Description:
    """What as-run events tell of what is on air."""
    cue = on_air.cue
    return {
        "segment": cue.segment,
        "item": cue.item.kind,
        "text": cue.text,
        "clue": cue.item.clue,
        "time": cue.time,
        "times": cue.item.times,
        "round": cue.round,
        "part": cue.part.value,
        "readability": on_air.readability,
    }
