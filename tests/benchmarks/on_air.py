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


@contextlib.contextmanager
def airing(home: Home, output: str, *, console: bool) -> Iterator[int]:
    """The demo on air; the process number of its desk."""
    options = ["air", DEMO, "--output", output, "--start", "--seed", 1]
    if console:
        home.extra |= {"TERM": "xterm-256color"}
        ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        desk = home.start(*options, stdin=theirs, stdout=theirs, stderr=theirs)
        os.close(theirs)
        threading.Thread(target=_read_away, args=(ours,), daemon=True).start()
    else:
        desk = home.start(*options, "--json", stdout=subprocess.DEVNULL)
    try:
        yield desk.pid
    finally:
        desk.send_signal(signal.SIGTERM)
        desk.wait(timeout=20.0)


def _read_away(terminal: int) -> None:
    """Be the terminal: take what the console draws, until it is gone."""
    with contextlib.suppress(OSError):
        while os.read(terminal, 65_536):
            pass
