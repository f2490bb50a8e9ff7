"""A microcontroller on a serial line: facts and commands in, the key and what happens out.

Two threads of its own read and write, so that neither a device that is silent nor one that does not
listen holds anybody up. A line that is gone is looked for until it is back.
"""

import asyncio
import os
import queue
import threading
from collections.abc import Iterator
from contextlib import contextmanager, suppress

import serial

from broadcaster.room import serial_words
from broadcaster.room.commands import RefusedError
from broadcaster.room.part import Surroundings
from broadcaster.room.serial_lines import Lines
from broadcaster.room.serial_port import find_port, read_identity
from broadcaster.room.tidings import Tidings
from broadcaster.script.venue_settings import SerialSettings
from broadcaster.story.events import OutEvent

SOURCE = "serial"
LOOK_S = 0.5
"""How often a line that is not there is looked for."""
READ_S = 0.2
"""How long reading waits before it looks whether it should end."""
WRITE_S = 2.0
"""A device that takes nothing for so long does not listen: what waits for it is dropped."""
MOST_UNSENT = 500
"""Lines that wait for the device."""


def open_part(settings: SerialSettings, around: Surroundings) -> "SerialPart":
    """The part of the section `serial`."""
    return SerialPart(settings, around)


class SerialPart:
    """One line, there or not."""

    def __init__(self, settings: SerialSettings, around: Surroundings) -> None:
        self._settings = settings
        self._around = around
        self._identity = read_identity(settings.usb) if settings.usb else None
        self._called = settings.port or f"of the USB device {settings.usb}"
        self._tidings = Tidings()
        self._down = False
        self._connected = False
        self._missed = False
        self._unsent: queue.Queue[str | None] = queue.Queue(MOST_UNSENT)
        self._stop = threading.Event()

    async def run(self) -> None:
        """Talk with the device, whenever it is there, until cancelled."""
        self._stop = threading.Event()
        try:
            await asyncio.to_thread(self._live, self._stop)
        finally:
            self._stop.set()

    def tell(self, event: OutEvent) -> None:
        """Something happened on air."""
        tiding = self._tidings.of(event)
        if tiding:
            self._send(serial_words.event(tiding))

    def key(self, *, down: bool) -> None:
        """The key goes down, or up, now."""
        self._down = down
        self._send(serial_words.key(down=down))

    def _send(self, line: str) -> None:
        """Have a line written, if the device is there and listens."""
        if self._connected:
            try:
                self._unsent.put_nowait(line)
            except queue.Full:  # the device does not listen: soon all that waits is dropped
                return

    # --- the line's own thread -------------------------------------------------------------------

    def _live(self, stop: threading.Event) -> None:
        while not stop.is_set():
            line = self._open()
            if line is None:
                stop.wait(LOOK_S)
                continue
            if self._missed:
                self._around.trouble(f"The serial line {self._called} is back.")
            self._missed = False
            with line, suppress(serial.SerialException, OSError):  # it is gone
                self._converse(line, stop)
            if not stop.is_set():
                self._miss("is gone")

    def _open(self) -> serial.Serial | None:
        """The line, if it is there and may be used."""
        try:
            port = find_port(self._identity) if self._identity else self._settings.port
            if port is None:
                self._miss("is not plugged in")
                return None
            return serial.Serial(
                port, self._settings.speed, timeout=READ_S, write_timeout=WRITE_S, exclusive=True
            )
        except (serial.SerialException, OSError) as error:
            self._miss(f"does not open ({os.strerror(error.errno) if error.errno else error})")
            return None

    def _miss(self, how: str) -> None:
        """Say that the line is not there, once until it is back."""
        if not self._missed:
            self._around.trouble(f"The serial line {self._called} {how}; it is looked for.")
        self._missed = True

    def _converse(self, line: serial.Serial, stop: threading.Event) -> None:
        """Read until the line is gone, which is raised, or it is time to stop."""
        lines = Lines(serial_words.LONGEST_LINE)
        with self._writing(line):
            while not stop.is_set():
                for text in lines.take(line.read(max(1, line.in_waiting))):
                    self._take(text)

    def _take(self, text: str | None) -> None:
        refusal = None
        try:
            if text is None:
                refusal = "A line is too long, or is no text."
                self._around.intake.refuse(SOURCE, refusal)
            else:
                around = self._around
                wanted = serial_words.read_line(
                    text, around.intake.names.all, around.programme.segments
                )
                if wanted is None:
                    return
                refused = around.intake.take(SOURCE, wanted)
                refusal = refused.sentence if refused else None
        except RefusedError as error:
            refusal = error.refusal.sentence
            self._around.intake.refuse(SOURCE, refusal)
        self._send(serial_words.answer(refusal))

    # --- the writer's thread ---------------------------------------------------------------------

    @contextmanager
    def _writing(self, line: serial.Serial) -> Iterator[None]:
        """Have a thread write what is to be sent, after a greeting."""
        self._drop_unsent()
        self._connected = True
        self._send(serial_words.hello(self._around.programme.station.callsign))
        self._send(serial_words.key(down=self._down))
        writer = threading.Thread(target=self._write_all, args=(line,), name="serial", daemon=True)
        writer.start()
        try:
            yield
        finally:
            self._connected = False
            self._drop_unsent()
            self._unsent.put(None)
            line.cancel_write()
            writer.join()

    def _write_all(self, line: serial.Serial) -> None:
        while (text := self._unsent.get()) is not None:
            try:
                line.write(serial_words.as_bytes(text))
            except serial.SerialTimeoutException:
                self._drop_unsent()
                if not self._connected:  # the sign to end may be among what was dropped
                    return
                self._send(serial_words.key(down=self._down))
            except (serial.SerialException, OSError):
                return  # the reader notices, too, and looks for the line

    def _drop_unsent(self) -> None:
        with suppress(queue.Empty):
            while True:
                self._unsent.get_nowait()
