"""A pseudo-terminal in place of a microcontroller: it says lines and hears lines."""

import os
import select
import time
from collections.abc import Callable
from pathlib import Path


class Microcontroller:
    """A device at one end of a line, whose other end is found under a name of a port."""

    def __init__(self, port: Path) -> None:
        self.port = port
        self.heard: list[tuple[float, str]] = []
        """Lines, each with the moment at which it came, by the machine's clock."""
        self._begun = b""
        self._ours = -1
        self.plug_in()

    def plug_in(self) -> None:
        """Be there: the port's name leads to a new line."""
        self._ours, theirs = os.openpty()
        self.port.unlink(missing_ok=True)
        self.port.symlink_to(os.ttyname(theirs))
        self._theirs = theirs  # held open, so that what is said before it is opened is not lost

    def pull_out(self) -> None:
        """Be gone, port and all."""
        self.port.unlink()
        os.close(self._theirs)
        os.close(self._ours)

    def say(self, *lines: str) -> None:
        """Print lines."""
        os.write(self._ours, "".join(f"{line}\n" for line in lines).encode())

    def say_bytes(self, data: bytes) -> None:
        """Print anything."""
        os.write(self._ours, data)

    def listen(self, for_s: float = 0.0) -> list[str]:
        """Hear for so long; all lines so far."""
        until = time.monotonic() + for_s
        while select.select([self._ours], [], [], max(0.0, until - time.monotonic()))[0]:
            *lines, self._begun = (self._begun + os.read(self._ours, 4096)).split(b"\n")
            now_s = time.monotonic()
            self.heard += [(now_s, line.decode()) for line in lines]
        return [line for _, line in self.heard]

    def listen_until(self, reached: Callable[[list[str]], object], limit_s: float = 5.0) -> None:
        """Hear until the lines are as wished. Fails after so long."""
        deadline = time.monotonic() + limit_s
        while not reached(self.listen(0.01)):
            assert time.monotonic() < deadline, self.heard
