"""The room: every part that the settings name, in one asyncio loop, in one thread of the desk.

A part that fails is told of once and tried again; none of them can stop the desk, and no other.
"""

import asyncio
import threading
from collections import deque
from collections.abc import Callable, Iterator, Mapping, Sequence
from contextlib import suppress
from importlib import import_module
from typing import Any

from broadcaster.clock import Clock
from broadcaster.errors import BroadcasterError
from broadcaster.room.intake import Intake
from broadcaster.room.opened import opened_words
from broadcaster.room.part import Door, Part, Surroundings
from broadcaster.room.status import Status
from broadcaster.script.programme import Programme
from broadcaster.script.venue_settings import SECTIONS, VenueSettings
from broadcaster.story.events import OutEvent, OutputStarted, SettingsRead

FIRST_WAIT_S, LONGEST_WAIT_S = 0.5, 30.0
"""How long a part that failed is let alone; twice as long each time."""
WELL_S = 60.0
"""A part that ran for so long was well: a failure after that is news again."""
MOST_UNHEARD = 10_000
"""Events that wait for the loop; beyond them the oldest are dropped."""
CLOSING_S = 3.0
"""How long the parts may take to let go of what they opened."""

OPENERS: Mapping[str, str] = {
    "http": "broadcaster.room.http",
    "mqtt": "broadcaster.room.mqtt",
    "osc": "broadcaster.room.osc",
    "serial": "broadcaster.room.serial_line",
    "lamp": "broadcaster.room.lamp",
}
"""The module of each section. It is loaded only if the section is written, and has `open_part`:
from the section's form and the Surroundings it makes the Part."""


class Room:
    """The parts of one station."""

    def __init__(
        self, settings: VenueSettings, programme: Programme, door: Door, clock: Clock
    ) -> None:
        self.status = Status(programme)
        self.intake = Intake(programme, settings.facts, door, clock)
        self._around = Surroundings(settings, programme, self.intake, self.status, door, clock)
        self._clock = clock
        self._unheard: deque[tuple[OutEvent, bool]] = deque(maxlen=MOST_UNHEARD)
        self._loop: asyncio.AbstractEventLoop | None = None
        self._task: asyncio.Task[None] | None = None
        self._pumping: asyncio.TimerHandle | None = None
        self._on_air = threading.Event()
        self._closing = False
        self._told = ""
        self._thread = threading.Thread(target=self._live, name="room", daemon=True)

    def start(self) -> None:
        """Open every part, as soon as the station's output has started; returns at once."""
        self._thread.start()

    def hear(self, events: Sequence[OutEvent], news: bool) -> None:
        """What the station told; not news where it is only how things stand. From any thread."""
        self._unheard.extend((event, news) for event in events)
        if not news or any(isinstance(event, OutputStarted) for event in events):
            self._on_air.set()
        self._in_loop(self._hear_all)

    def close(self) -> None:
        """Close every part, and wait for it, but not for long."""
        self._closing = True
        self._on_air.set()
        self._in_loop(self._cancel)
        self._thread.join(CLOSING_S)

    def _in_loop(self, act: Callable[[], None]) -> None:
        loop = self._loop
        if loop is not None and not loop.is_closed():
            loop.call_soon_threadsafe(act)

    # --- the thread ------------------------------------------------------------------------------

    def _live(self) -> None:
        self._on_air.wait()
        if not self._closing:
            asyncio.run(self._run())

    async def _run(self) -> None:
        loop = asyncio.get_running_loop()
        loop.set_exception_handler(self._note_failed_callback)
        self._task = asyncio.current_task()
        for name in _named(self._around.settings):
            self._open(name)
        self._tell_what_is_open()
        keepers = [
            loop.create_task(self._keep(name, part)) for name, part in self._around.parts.items()
        ]
        self._loop = loop
        self.intake.wake = lambda: self._in_loop(self._pump)
        self._pump()
        self._hear_all()
        with suppress(asyncio.CancelledError):
            while not self._closing:
                await asyncio.sleep(LONGEST_WAIT_S)
        self._loop = None
        for keeper in keepers:
            keeper.cancel()
        await asyncio.gather(*keepers, return_exceptions=True)

    def _tell_what_is_open(self) -> None:
        door = self._around.door
        words = opened_words(self._around.settings, tuple(self._around.parts))
        door.report(SettingsRead(door.frame, words))

    def _cancel(self) -> None:
        if self._task:
            self._task.cancel()

    def _hear_all(self) -> None:
        loop = asyncio.get_running_loop()
        while self._unheard:
            event, news = self._unheard.popleft()
            self.status.hear(event)
            self._around.standing.hear(event)
            if news:
                for part in self._around.parts.values():
                    loop.call_soon(part.tell, event)  # where one that raises hurts no other

    def _pump(self) -> None:
        if self._pumping:
            self._pumping.cancel()
        wait_s = self.intake.pump()
        loop = asyncio.get_running_loop()
        self._pumping = None if wait_s is None else loop.call_later(wait_s, self._pump)

    # --- a part's life ---------------------------------------------------------------------------

    def _open(self, name: str) -> None:
        """Make the part of a section; one that cannot be made is told of, and missed."""
        try:
            opener = import_module(OPENERS[name]).open_part
            part: Part = opener(getattr(self._around.settings, name), self._around)
        except (BroadcasterError, ImportError, OSError) as error:
            self._around.trouble(f"The room's `{name}` cannot be opened: {error}")
        else:
            self._around.parts[name] = part

    async def _keep(self, name: str, part: Part) -> None:
        """Run a part again and again."""
        wait_s, missed = FIRST_WAIT_S, self._around.missed
        while True:
            began_s = self._clock.seconds()
            running = asyncio.ensure_future(part.run())
            try:
                await asyncio.wait({running})
            except asyncio.CancelledError:
                running.cancel()
                await asyncio.wait({running})
                raise
            if self._clock.seconds() - began_s > WELL_S:
                wait_s = FIRST_WAIT_S
                missed.discard(name)
            end = _end_of(running)
            if name not in missed:
                self._around.trouble(f"The room's `{name}` {end} It is tried again.")
                missed.add(name)
            await asyncio.sleep(wait_s)
            wait_s = min(2 * wait_s, LONGEST_WAIT_S)

    def _note_failed_callback(
        self, loop: asyncio.AbstractEventLoop, context: dict[str, Any]
    ) -> None:
        """What failed outside any part's run(): said once, for the console is no place for more."""
        del loop
        sentence = f"Something in the room failed: {context.get('exception', context['message'])!r}"
        if sentence != self._told:
            self._told = sentence
            self._around.trouble(sentence)


def _named(settings: VenueSettings) -> Iterator[str]:
    """The sections that are written, in the order in which they are opened."""
    return (name for name in SECTIONS if getattr(settings, name) is not None)


def _end_of(running: "asyncio.Future[None]") -> str:
    """How a part's run() ended, as the end of a sentence."""
    error = None if running.cancelled() else running.exception()
    if error is None:
        return "stopped."
    said = str(error) if isinstance(error, BroadcasterError | OSError) else repr(error)
    return f"failed: {said.rstrip('.')}."
