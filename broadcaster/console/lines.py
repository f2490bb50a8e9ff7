"""The broadcast as lines: for a pipe, a dumb terminal, or another program."""

import json
import os
import sys
from collections.abc import Callable, Mapping
from typing import Any, Protocol

from broadcaster.clock import Clock
from broadcaster.console.words import jump_words, session_words
from broadcaster.desk.monitor import Monitor
from broadcaster.desk.session import Watch
from broadcaster.record.asrun import record_line
from broadcaster.script.programme import Programme
from broadcaster.story.cue import fact_said
from broadcaster.story.events import (
    CloseStation,
    FactChanged,
    InEvent,
    ItemAired,
    ItemStarted,
    JumpWaiting,
    OutEvent,
    Refused,
    SegmentEntered,
    SessionEnded,
    SessionStarted,
    StationClosed,
    StationOpened,
    Trouble,
)
from broadcaster.units import seconds_from_frames, session_clock

FOLLOW_S = 0.02
"""How often a follower looks for news."""
HERE = "Ctrl-C takes it off air."
"""What a follower of this machine's own station must know."""


class OnAir(Protocol):
    """A station as a console knows it: desk.Airing, or one on another machine."""

    @property
    def over(self) -> bool:
        """Whether it has closed, and all that it told was taken."""

    @property
    def monitor(self) -> Monitor | None:
        """The operator's headphones, if there are any."""

    def send(self, event: InEvent | CloseStation) -> None:
        """Put an event through its door."""

    def events(self) -> list[OutEvent]:
        """What happened since last asked."""


def lines(show: Callable[[OutEvent], None]) -> Watch:
    """A watcher that shows each event until the station has closed; Ctrl-C closes it."""

    def watch(programme: Programme, airing: OnAir, clock: Clock) -> None:
        del programme

        def turn() -> None:
            for event in airing.events():
                show(event)

        follow(airing, clock, turn)

    return watch


def follow(airing: OnAir, clock: Clock, turn: Callable[[], None]) -> None:
    """Take a turn again and again until the station has closed.

    Ctrl-C closes it. Where nobody reads any more, the broadcast goes on.
    """

    def until_over() -> None:
        while not airing.over:
            turn()
            clock.wait(FOLLOW_S)

    try:
        until_over()
    except BrokenPipeError:
        let_nobody_read()
        until_over()
    except KeyboardInterrupt:
        airing.send(CloseStation())
        until_over()


def let_nobody_read() -> None:
    """Write into the void from here on: whoever read what we print is gone."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def show_as_json(event: OutEvent) -> None:
    """The as-run entry of an event, one JSON object a line."""
    line = record_line(event)
    if line is not None:
        print(line, flush=True)


def show_record(record: Mapping[str, Any]) -> None:
    """One JSON object on a line."""
    print(json.dumps(record, ensure_ascii=False), flush=True)


def show_as_line(event: OutEvent) -> None:
    """An event in words, for a person; nothing for what only a screen needs."""
    line = line_of(event)
    if line:
        print(f"{line} {HERE}" if isinstance(event, StationOpened) else line, flush=True)


def line_of(event: OutEvent) -> str:
    """An event in words."""
    match event:
        case StationOpened():
            return (
                f"{event.programme}, station {event.callsign}. "
                f"Output: {event.output} ({event.why})."
            )
        case SessionStarted(frame):
            return _at(frame, "the session begins")
        case SessionEnded(frame, why):
            return _at(frame, f"the session is over ({why}); standing by")
        case SegmentEntered():
            return _at(event.frame, f"segment {event.segment!r} ({event.why})")
        case ItemStarted():
            text = f": {event.text}" if event.text != event.item else ""
            return _at(event.start_frame, f"  {event.item}{text}{_clue(event.clue)}")
        case ItemAired(complete=False):
            return _at(event.end_frame, f"  {event.item} cut{_clue(event.clue)}")
        case FactChanged():
            return _at(
                event.frame, f"{event.fact} is {fact_said(event.value)}, says {event.source}"
            )
        case JumpWaiting(segment=str()):
            when = jump_words(event.timing, event.transition) if event.timing else ""
            return _at(event.frame, f"jump to {event.segment!r}, {when}")
        case Refused() | Trouble():
            return _at(event.frame, event.sentence)
        case StationClosed():
            return _at(event.frame, "off air")
    pacing = session_words(event)
    return _at(*pacing) if pacing else ""


def _clue(name: str | None) -> str:
    return f" [clue: {name}]" if name else ""


def _at(frame: int, words: str) -> str:
    return f"{session_clock(seconds_from_frames(frame)):>8}  {words}"
