"""The broadcast: playout, period and transmitter as one stream that is pulled in blocks.

Nothing here knows of real time: the station pulls it at the pace of its output, a rehearsal as
fast as it can. Any cutting into blocks gives the same samples.
"""

from collections.abc import Callable
from datetime import datetime

import numpy as np

from broadcaster.air.items import ItemSource
from broadcaster.air.on_air import Stretch
from broadcaster.air.plain_path import PlainPath
from broadcaster.air.playout import FADE_FRAMES, Playout
from broadcaster.air.timing import Timing, timing_here
from broadcaster.period.conditions import AS_WRITTEN, STRONGEST
from broadcaster.period.reception import Reception
from broadcaster.script.programme import Programme
from broadcaster.story.cue import Cue
from broadcaster.story.events import InEvent, OutEvent, Part
from broadcaster.story.state import State
from broadcaster.transmitter.transmitter import transmitter_of
from broadcaster.units import Samples, frames_from_seconds, silence

SIGNAL_GLIDE_FRAMES = frames_from_seconds(1.0)
"""In which the signal gets to another strength. Chosen by ear."""


class Broadcast:
    """One programme going out, pulled by render()."""

    def __init__(
        self,
        programme: Programme,
        items: ItemSource,
        *,
        seed: int = 0,
        length: int | None = None,
        opened: datetime | None = None,
        state: State | None = None,
        timing_of: Callable[[Cue], Timing] = timing_here,
    ) -> None:
        """`length`: frames after which the broadcast is over; None: until finish(). `opened`: the
        time of day at frame 0. `state`: of another broadcast's checkpoint, from which this one goes
        on. `timing_of`: that of an item that was fetched.
        """
        if programme.period is None:
            raise ValueError("the programme has no period sound; read it through the script room")
        self._playout = Playout(
            programme,
            items,
            seed=seed,
            length=length,
            opened=opened,
            state=state,
            timing_of=timing_of,
        )
        self._reception = Reception(programme.period, seed)
        self._plain = PlainPath(self._reception.latency)
        self._transmitter = transmitter_of(programme)
        self._latency = self._reception.latency + self._transmitter.latency
        self._frame = 0
        self._strength = STRONGEST
        self._roughness: float | None = AS_WRITTEN

    @property
    def frame(self) -> int:
        """Frames rendered so far."""
        return self._frame

    @property
    def checkpoint(self) -> State:
        """Where the story stands, for another broadcast to go on if this one comes to grief."""
        return self._playout.checkpoint

    @property
    def over(self) -> bool:
        """Whether every frame of a broadcast of known length is rendered."""
        return self._playout.length is not None and self._frame >= self._playout.length

    def receive(self, event: InEvent, frame: int | None = None) -> None:
        """Take an event in: on its frame, or (None, or a frame gone by) as soon as may be.

        Events on the same frame are obeyed in the order in which they were received.
        """
        self._playout.receive(event, frame)

    def obey(self) -> None:
        """Obey now what has come for the frame that is rendered next."""
        self._playout.obey()

    def finish(self) -> None:
        """End the broadcast with what is composed by now."""
        self._playout.finish()

    def take_events(self) -> list[OutEvent]:
        """What happened since last asked, in order."""
        return self._playout.take_events()

    def render(self, frames: int) -> Samples:
        """The next frames; fewer (or none) where the broadcast ends."""
        if self._playout.frame == 0:
            self._process(self._latency)
        if self._playout.length is not None:
            frames = min(frames, max(0, self._playout.length - self._frame))
        block = self._process(frames)
        self._frame += frames
        return block

    def _process(self, frames: int) -> Samples:
        first = self._playout.frame
        dry = silence(frames)
        plainly: Samples | None = None
        plain: list[slice] = []
        for stretch in self._playout.run(first + frames):
            place = slice(stretch.start - first, stretch.stop - first)
            if stretch.on_air.cue.part is Part.PLAIN_VOICE:
                plainly = silence(frames) if plainly is None else plainly
                plain.append(place)
                _mix(plainly[place], stretch)
            else:
                self._receive_as_wanted(stretch)
                _mix(dry[place], stretch)
        received = self._plain.process(self._reception.process(dry, first), plainly, plain)
        return self._transmitter.process(received, first)

    def _receive_as_wanted(self, stretch: Stretch) -> None:
        """Turn reception's dials, and begin a transition, with the stretch's first frame."""
        on_air, start = stretch.on_air, stretch.start
        if stretch.strength != self._strength:
            self._strength = stretch.strength
            self._reception.set(start, strength=self._strength, glide_frames=SIGNAL_GLIDE_FRAMES)
        if not stretch.begins:
            return
        if on_air.roughness not in (None, self._roughness):
            self._roughness = on_air.roughness
            self._reception.set(start, roughness=self._roughness)
        if on_air.transition:
            self._reception.give_way(on_air.transition, start)


def _mix(block: Samples, stretch: Stretch) -> None:
    """Put what is on air into its stretch of the dry programme, shape (frames,), in place."""
    on_air = stretch.on_air
    if on_air.samples is None or not len(block):
        return
    offset = stretch.start - on_air.start
    block += on_air.samples[offset : offset + len(block)]
    if on_air.fade_from is not None:
        gone = np.arange(stretch.start, stretch.stop) - on_air.fade_from
        block *= np.cos(gone * (np.pi / 2 / FADE_FRAMES)).astype(np.float32)
