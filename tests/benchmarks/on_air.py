"""A broadcast of the demo, to be measured: with or without its console, in a home of its own."""

import contextlib
import fcntl
import os
import pty
import shutil
import signal
import struct
import subprocess
import tempfile
import termios
import threading
import time
from collections import deque
from collections.abc import Iterator
from pathlib import Path

from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import DEMO, Home

ROWS, COLUMNS = 40, 120


@contextlib.contextmanager
def a_home() -> Iterator[Home]:
    """A home that is gone afterwards, and the stations in it, too. Python may keep its caches."""
    folder = Path(tempfile.mkdtemp(prefix="bc"))  # short: a socket's path has a limit
    home = Home(folder, {"PYTHONDONTWRITEBYTECODE": ""})
    try:
        yield home
    finally:
        for station in stations_of(home):
            os.kill(station, signal.SIGKILL)
        shutil.rmtree(folder, ignore_errors=True)


class Terminal:
    """A terminal of our own, and what was drawn on it."""

    def __init__(self) -> None:
        self._ours, self.theirs = pty.openpty()
        fcntl.ioctl(self.theirs, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        self._drawn: deque[tuple[float, bytes]] = deque(maxlen=4096)
        self._news = threading.Condition()

    def start(self) -> None:
        """Begin to take what is drawn, once the other end is in the console's hands."""
        os.close(self.theirs)
        threading.Thread(target=self._take, daemon=True).start()

    def press(self, key: bytes) -> float:
        """Press a key; when, by the monotonic clock."""
        moment_s = time.monotonic()
        os.write(self._ours, key)
        return moment_s

    def wait_for(self, words: bytes, since_s: float, limit_s: float = 20.0) -> float:
        """Wait until these were drawn after a moment; when they came. Raises TimeoutError."""
        deadline = time.monotonic() + limit_s
        with self._news:
            while True:
                for at_s, drawn in self._drawn:
                    if at_s >= since_s and words in drawn:
                        return at_s
                if not self._news.wait(deadline - time.monotonic()):
                    raise TimeoutError(f"{words!r} was not drawn")

    def _take(self) -> None:
        with contextlib.suppress(OSError):
            while drawn := os.read(self._ours, 65_536):
                with self._news:
                    self._drawn.append((time.monotonic(), drawn))
                    self._news.notify_all()


@contextlib.contextmanager
def airing(
    home: Home, output: str, *, console: bool, terminal: Terminal | None = None
) -> Iterator[int]:
    """The demo on air; the process number of its desk."""
    options = ["air", DEMO, "--output", output, "--start", "--seed", 1]
    if console:
        home.extra |= {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
        terminal = terminal or Terminal()
        theirs = terminal.theirs
        desk = home.start(*options, stdin=theirs, stdout=theirs, stderr=theirs)
        terminal.start()
    else:
        desk = home.start(*options, "--json", stdout=subprocess.DEVNULL)
    try:
        yield desk.pid
    finally:
        desk.send_signal(signal.SIGTERM)
        desk.wait(timeout=20.0)
