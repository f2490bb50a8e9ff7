"""The station process: one playout thread that owns the broadcast and fills the ring.

It touches no file, no socket and no screen, takes events from the link's inbox and gives events to
the link's outbox, and goes on when everything else has died.
"""

import gc
import sys
from collections.abc import Callable
from datetime import datetime
from typing import TypeVar

import numpy as np

from broadcaster.air.broadcast import Broadcast
from broadcaster.air.keeper import OutputKeeper
from broadcaster.air.link import DeskLink, refuse
from broadcaster.air.orders import Orders, key_file, meeting_point
from broadcaster.air.outputs import open_output
from broadcaster.air.precedence import go_first
from broadcaster.air.preparing import Preparing
from broadcaster.air.ring import FRAME_BYTES, Ring, pcm_from_samples
from broadcaster.clock import Clock, SystemClock
from broadcaster.errors import BroadcasterError
from broadcaster.period.reception import Reception
from broadcaster.story.events import (
    CloseStation,
    OutEvent,
    OutputStarted,
    OutputState,
    Placed,
    StationClosed,
    StationOpened,
    Trouble,
)
from broadcaster.story.state import moved
from broadcaster.transmitter.transmitter import transmitter_of
from broadcaster.units import RATE, Samples, db_from_gain, silence

T = TypeVar("T")

AHEAD_FRAMES = 6_144
"""How far playout is ahead of the output: a device's period and a block more, so that a jump is
heard within a quarter of a second."""
HEAD_START_FRAMES = 24_576
"""How far it is ahead when the output starts, which may take a while on a busy machine."""
BLOCK_FRAMES = 1024
WAIT_S = 0.01
"""How long playout sleeps when the ring is full and nobody says anything."""
STATE_FRAMES = RATE // 10
"""How often the output's state is told."""


class Station:
    """Playout: the broadcast into the ring, at the output's pace."""

    def __init__(
        self,
        broadcast: Broadcast,
        output: OutputKeeper,
        link: DeskLink,
        static: bytes,
        clock: Clock,
    ) -> None:
        """`static`: a second of the carrier, for where the ring runs short or a block fails."""
        self._broadcast = broadcast
        self._output = output
        self._link = link
        self._static = static
        self._ring = Ring(HEAD_START_FRAMES)
        self._clock = clock
        self._meter = _Meter()
        self._reported = ""
        self.underruns = 0
        """How often the output had to do without it; that the ring runs dry at the end is none."""

    def run(self) -> int:
        """Play until the broadcast is over; the count of frames that went out."""
        self._output.start(self._ring, self._static)
        self._link.tell([OutputStarted(0, _time_of_day(self._clock))])
        while not self._broadcast.over:
            self._link.wait(WAIT_S)
            self.fill()
        self.underruns = self._output.underruns
        while self._ring.filled and self._output.playing():
            self._clock.wait(WAIT_S)
        return self._ring.written

    def fill(self, frames: int = AHEAD_FRAMES) -> None:
        """Fill the ring with as many whole blocks as keep it within so many frames.

        They are made in one stretch, which costs less than one by one.
        """
        self._obey_desk()
        blocks = (frames - self._ring.filled) // BLOCK_FRAMES
        if blocks > 0:
            self._ring.write(self._next_stretch(blocks * BLOCK_FRAMES))

    def _obey_desk(self) -> None:
        """Obey at once, and not only when frames are wanted: the room waits for an answer."""
        if self._link.inbox:
            self._take_in()
            self._guarded(self._broadcast.obey)
            self._tell(self._broadcast.take_events())

    def _take_in(self) -> None:
        inbox = self._link.inbox
        while inbox:
            event = inbox.popleft()
            match event:
                case CloseStation():
                    self._broadcast.finish()
                case Placed():
                    self._broadcast.receive(event.event, event.frame)
                case _:
                    self._broadcast.receive(event)

    def _next_stretch(self, frames: int) -> bytes:
        """The broadcast's next frames; static where they fail, so that the air is never dead."""
        stretch = self._guarded(lambda: self._broadcast.render(frames))
        if stretch is None:
            return self._static[: frames * FRAME_BYTES]
        told = self._broadcast.take_events()
        if self._meter.measure(stretch):
            told.append(self._state())
        self._tell(told)
        return pcm_from_samples(stretch, self._output.side)

    def _guarded(self, act: Callable[[], T]) -> T | None:
        """What the broadcast gives; None if it fails, which is told once."""
        try:
            return act()
        except Exception as error:  # noqa: BLE001  the outermost guard of the on-air loop
            sentence = f"The broadcast failed for a moment ({error!r}); static stood in for it."
            if sentence != self._reported:
                self._reported = sentence
                self._tell([Trouble(self._broadcast.frame, sentence)])
        return None

    def _tell(self, events: list[OutEvent]) -> None:
        if events:
            self._link.checkpoint = self._broadcast.checkpoint
            self._link.tell(events)

    def _state(self) -> OutputState:
        output = self._output
        peak, rms = self._meter.take()
        now_s = self._clock.seconds()
        return OutputState(
            frame=self._broadcast.frame,
            heard_frame=output.heard(self._ring, now_s),
            output=output.name,
            playing=output.playing(),
            underruns=output.underruns,
            buffered_frames=self._ring.filled,
            peak_dbfs=db_from_gain(peak),
            rms_dbfs=db_from_gain(rms),
            moment_s=now_s,
            delay_s=output.delay_s,
        )


class _Meter:
    """Peak and RMS over STATE_FRAMES."""

    def __init__(self) -> None:
        self._frames = 0
        self._peak = 0.0
        self._power = 0.0

    def measure(self, block: Samples) -> bool:
        """Take a block in; True when it is time to tell."""
        if len(block):
            self._peak = max(self._peak, float(np.abs(block).max()))
            self._power += float(np.dot(block, block))
        self._frames += len(block)
        return self._frames >= STATE_FRAMES

    def take(self) -> tuple[float, float]:
        """Peak and RMS since last asked, full scale 1.0."""
        measured = self._peak, float(np.sqrt(self._power / max(1, self._frames)))
        self._frames, self._peak, self._power = 0, 0.0, 0.0
        return measured


def open_station(orders: Orders, link: DeskLink, clock: Clock) -> None:
    """Put orders on air until the broadcast is over. Raises BroadcasterError if it cannot begin."""
    programme = orders.programme
    preparing = Preparing(
        programme,
        orders.cache_folder,
        tell=lambda sentence: link.tell([Trouble(0, sentence)]),
    )
    go_first()  # after the worker was forked, before any thread is started
    with preparing as items:
        output = OutputKeeper(open_output(orders.output, clock), clock, link.tell)
        opened = clock.wall()
        broadcast = Broadcast(
            programme,
            items,
            seed=orders.seed,
            length=orders.length,
            opened=opened,
            state=orders.state and moved(orders.state, -orders.state_frame),
            timing_of=items.timing,
        )
        for frame, event in orders.agenda:
            broadcast.receive(event, frame)
        link.tell([_opened(orders, output, opened)])
        link.start()
        static = pcm_from_samples(_static(orders), output.side)
        _quiet_the_interpreter()
        station = Station(broadcast, output, link, static, clock)
        station.fill(HEAD_START_FRAMES)  # nobody listens yet: the first items may take time
        items.patient = output.patient
        frames = station.run()
        trouble = _close(output)
        link.tell([*broadcast.take_events(), StationClosed(frames, station.underruns, trouble)])
        link.close()


def _opened(orders: Orders, output: OutputKeeper, opened: datetime) -> StationOpened:
    return StationOpened(
        programme=orders.programme.programme,
        callsign=orders.programme.station.callsign,
        seed=orders.seed,
        output=output.name,
        why=output.why,
        wall=opened.isoformat(timespec="milliseconds"),
    )


def _time_of_day(clock: Clock) -> str:
    return clock.wall().isoformat(timespec="milliseconds")


def _close(output: OutputKeeper) -> str:
    """Close the output; what it could not do, in a sentence."""
    try:
        output.close()
    except BroadcasterError as error:
        return str(error)
    return ""


def _static(orders: Orders) -> Samples:
    """A second of the station's own carrier, for an output that runs short."""
    assert orders.programme.period is not None
    reception = Reception(orders.programme.period, orders.seed)
    transmitter = transmitter_of(orders.programme)
    return transmitter.process(reception.process(silence(RATE), 0), 0)


def _quiet_the_interpreter() -> None:
    """Nothing may hold the interpreter for long: threads switch fast, the heap is not searched.

    What there is by now stays, so only what comes later is searched for what can be freed.
    """
    sys.setswitchinterval(0.001)
    gc.freeze()
    gc.enable()


def run_station(name: str) -> int:
    """Meet the desk at the meeting point of that name, take its orders, go on air; exit code."""
    listener, desk = DeskLink.meet(meeting_point(name), key_file(name).read_bytes())
    orders = desk.recv()
    try:
        open_station(orders, DeskLink(listener, desk), SystemClock())
    except BroadcasterError as error:
        refuse(desk, error, error.exit_code)
        return error.exit_code
    finally:
        key_file(name).unlink(missing_ok=True)
    return 0
