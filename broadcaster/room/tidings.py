"""What lights, locks and other programs are told of: a name and a few values for each event.

For ways out whose messages are flat, as those of OSC and of a serial line. HTTP and MQTT tell whole
records.
"""

from collections.abc import Callable, Mapping
from dataclasses import dataclass
from typing import Any, TypeAlias

from broadcaster.story.events import (
    FactChanged,
    Held,
    HintGiven,
    ItemAired,
    MilestoneMet,
    OutEvent,
    OutputState,
    PlainVoiceStarted,
    PlainVoiceStopped,
    Resumed,
    SegmentEntered,
    SessionEnded,
    SessionStarted,
    Stalled,
    StationClosed,
    name_of,
)

Values: TypeAlias = tuple[bool | int | str, ...]


@dataclass(frozen=True, slots=True)
class Tiding:
    """Something happened."""

    name: str
    """In words joined by `_`: `segment_entered`."""
    values: Values = ()


_VALUES: Mapping[type[OutEvent], Callable[[Any], Values]] = {
    SessionStarted: lambda _: (),
    SessionEnded: lambda event: (event.why,),
    Held: lambda _: (),
    Resumed: lambda _: (),
    SegmentEntered: lambda event: (event.segment,),
    HintGiven: lambda event: (event.rung, event.of, event.segment),
    MilestoneMet: lambda event: (event.milestone,),
    Stalled: lambda event: (event.milestone,),
    FactChanged: lambda event: (event.fact, event.value),
    PlainVoiceStarted: lambda _: (),
    PlainVoiceStopped: lambda _: (),
    StationClosed: lambda _: (),
}
"""The events that are told as they are, and which of their fields."""


class Tidings:
    """Makes tidings of events. It remembers whether the output plays, to tell when that changes."""

    def __init__(self) -> None:
        self._playing: bool | None = None
        """None: it has not begun yet."""

    def of(self, event: OutEvent) -> Tiding | None:
        """What is told of an event; None: nothing."""
        match event:
            case ItemAired(clue=str() as clue, complete=True):
                return Tiding("clue_aired", (clue,))
            case OutputState(playing=playing):
                return self._output(playing=playing)
        values = _VALUES.get(type(event))
        if values is None:
            return None
        return Tiding(name_of(type(event)).replace(" ", "_"), values(event))

    def _output(self, *, playing: bool) -> Tiding | None:
        was = self._playing
        if playing or was:
            self._playing = playing
        if was is None or was == playing:
            return None
        return Tiding("output_back" if playing else "output_lost")
