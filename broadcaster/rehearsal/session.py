"""A whole session on the virtual clock: the same playout as on air, as fast as it can be decided.

Without audio the period and the transmitter are left out, and of an item only its length is
needed: what happens, and on which frame, is the same.
"""

from collections.abc import Callable
from dataclasses import dataclass
from datetime import datetime
from pathlib import Path

from broadcaster.air.items import ItemSource
from broadcaster.air.playout import Playout
from broadcaster.desk.agenda import Agenda
from broadcaster.desk.timetable import timetable_agenda
from broadcaster.script.programme import Programme
from broadcaster.story.events import OutEvent, SessionEnded, StationClosed, StationOpened
from broadcaster.story.plan import NO_WALL
from broadcaster.units import frames_from_seconds

OUTPUT = "rehearsal"
AUDIO_BLOCK_FRAMES = 65_536

Progress = Callable[[int, int], None]
"""Told how many frames of how many are done."""


@dataclass(frozen=True, slots=True)
class Rehearsed:
    """What happened in a rehearsed session."""

    programme: Programme
    events: tuple[OutEvent, ...]
    """From StationOpened to StationClosed, as they would be told on air."""
    frames: int
    """How long it was."""


@dataclass(frozen=True, slots=True)
class Rehearsal:
    """What is rehearsed, apart from where its items come from."""

    programme: Programme
    agenda: Agenda
    seed: int = 0
    length: int | None = None
    """Frames; None: until the session is over, or its planned length has passed."""
    opened: datetime = NO_WALL
    """The time of day at frame 0."""

    def run(self, items: ItemSource) -> Rehearsed:
        """Decide the whole session; no sound is made."""
        planned = frames_from_seconds(self.programme.session)
        length = planned if self.length is None else self.length
        playout = Playout(
            self.programme,
            items,
            seed=self.seed,
            length=length,
            opened=self.opened,
            looks_ahead=False,
        )
        for frame, event in self._agenda(length):
            playout.receive(event, frame)
        events: list[OutEvent] = []
        for _ in playout.run(length):
            told = playout.take_events()
            events += told
            if self.length is None and any(isinstance(event, SessionEnded) for event in told):
                playout.finish()
                break
        events += playout.take_events()
        return self._rehearsed(events, playout.length or 0)

    def record(self, items: ItemSource, path: Path, frames: int, progress: Progress) -> Rehearsed:
        """Decide and hear so many frames, into a WAV file that appears whole or not at all.

        Raises StationError if it cannot be written.
        """
        # What makes samples is loaded only for those who want to hear it.
        from broadcaster.air.broadcast import Broadcast
        from broadcaster.rehearsal.wav import WavFile

        broadcast = Broadcast(
            self.programme, items, seed=self.seed, length=frames, opened=self.opened
        )
        for frame, event in self._agenda(frames):
            broadcast.receive(event, frame)
        with WavFile(path) as file:
            while not broadcast.over:
                file.write(broadcast.render(AUDIO_BLOCK_FRAMES))
                progress(broadcast.frame, frames)
        return self._rehearsed(broadcast.take_events(), frames)

    def _agenda(self, length: int) -> Agenda:
        due: Agenda = ()
        if any(entry.clock for entry in self.programme.timetable):
            due = timetable_agenda(self.programme, self.opened, length)
        return (*self.agenda, *due)

    def _rehearsed(self, events: list[OutEvent], frames: int) -> Rehearsed:
        opened = StationOpened(
            programme=self.programme.programme,
            callsign=self.programme.station.callsign,
            seed=self.seed,
            output=OUTPUT,
            why="on the virtual clock",
            wall=self.opened.isoformat(timespec="milliseconds"),
        )
        told = (opened, *events, StationClosed(frames))
        return Rehearsed(self.programme, told, frames)
