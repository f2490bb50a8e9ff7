"""A lamp that follows the Morse: lit while the key is down, in step with what is heard."""

import asyncio
from contextlib import ExitStack

from broadcaster.errors import UsageError
from broadcaster.room.lamp_times import TRUSTED_S, LampTimes
from broadcaster.room.part import KeyLine, Surroundings
from broadcaster.room.pins import Pin
from broadcaster.script.venue_settings import LampSettings
from broadcaster.story.events import ItemStarted, Keyed, OutEvent


def open_part(settings: LampSettings, around: Surroundings) -> "LampPart":
    """The part of the section `lamp`. Raises UsageError where nothing can drive it."""
    return LampPart(settings, around)


class LampPart:
    """The lamp, by all the ways that drive it."""

    def __init__(self, settings: LampSettings, around: Surroundings) -> None:
        self._clock = around.clock
        self._times = LampTimes(settings.at_most, settings.latency)
        self._inverted = settings.inverted
        self._pin = Pin(settings.pin) if settings.pin is not None else None
        self._lines: list[KeyLine] = [
            part
            for way, part in around.parts.items()
            if way in settings.over and isinstance(part, KeyLine)
        ]
        if self._pin:
            self._lines.append(self._pin)
        if not self._lines:
            raise UsageError("None of the ways that should drive it is open.")
        self._standing = around.standing
        self._late = True
        """Whether it has not heard yet how things stood when it came."""
        self._down = False
        self._timer: asyncio.TimerHandle | None = None

    async def run(self) -> None:
        """Drive the lamp until cancelled; then the key is up. Raises UsageError without its pin."""
        with ExitStack() as held:
            if self._pin:
                held.enter_context(self._pin)
            held.callback(self._rest)
            self._key(down=False)
            self._catch_up()
            await asyncio.Event().wait()

    def tell(self, event: OutEvent) -> None:
        """Something happened on air."""
        if self._times.hear(event):
            self._follow()

    def _catch_up(self) -> None:
        """Hear of the Morse on air, where the station was on air before this desk."""
        started = None
        for event in self._standing.events() if self._late else ():
            if isinstance(event, ItemStarted):
                started = event.start_frame
            elif isinstance(event, Keyed) and event.start_frame == started:
                self.tell(event)
        self._late = False

    def _follow(self) -> None:
        """Bring the key to where it should be now, and come again when that changes."""
        if self._timer:
            self._timer.cancel()
        now_s = self._clock.seconds()
        down = self._times.lit(now_s)
        if down != self._down:
            self._key(down=down)
        wait_s = self._times.wait_s(now_s)
        self._timer = None
        if wait_s is not None:
            loop = asyncio.get_running_loop()
            self._timer = loop.call_later(min(wait_s, TRUSTED_S), self._follow)

    def _rest(self) -> None:
        if self._timer:
            self._timer.cancel()
            self._timer = None
        self._key(down=False)

    def _key(self, *, down: bool) -> None:
        self._down = down
        for line in self._lines:
            line.key(down=down != self._inverted)
