"""A console is killed, comes back, comes and goes: the broadcast does not notice."""

import contextlib
import fcntl
import os
import pty
import re
import signal
import struct
import subprocess
import termios
import threading
import time
import wave
from collections.abc import Callable
from multiprocessing.connection import Client
from pathlib import Path

from broadcaster.air.broadcast import Broadcast
from broadcaster.air.orders import Greeting
from broadcaster.air.ring import pcm_from_samples
from broadcaster.script.loading import load_programme
from broadcaster.story.events import SegmentEntered, StartSession
from broadcaster.voice.speaker import Speaker
from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import DEMO, Home
from tests.rehearsal.items import ItemsMadeHere

LIMIT_S = 30.0
SEED = 5
VISITS = 100
ROWS, COLUMNS = 40, 120


class Terminal:
    """A console on a terminal of its own, and all that it has drawn."""

    def __init__(self, home: Home, *arguments: object) -> None:
        ours, theirs = pty.openpty()
        fcntl.ioctl(theirs, termios.TIOCSWINSZ, struct.pack("HHHH", ROWS, COLUMNS, 0, 0))
        home.extra |= {"TERM": "xterm-256color"}
        self.desk = home.start(*arguments, stdin=theirs, stdout=theirs, stderr=theirs)
        os.close(theirs)
        self._drawn = bytearray()
        threading.Thread(target=self._read, args=(ours,), daemon=True).start()

    @property
    def text(self) -> str:
        drawn = self._drawn.decode(errors="replace")
        return re.sub(r"\x1b\[[0-9;?]*[A-Za-z]", "", drawn)

    def _read(self, terminal: int) -> None:
        with contextlib.suppress(OSError):
            while drawn := os.read(terminal, 65_536):
                self._drawn += drawn


def until(reached: Callable[[], object], why: str = "") -> None:
    deadline = time.monotonic() + LIMIT_S
    while not reached():
        assert time.monotonic() < deadline, why
        time.sleep(0.05)


def held_by(station: int) -> tuple[int, int, int]:
    """Threads, open files and memory (kB) of a process."""
    status = Path(f"/proc/{station}/status").read_text()
    threads, memory = (re.search(rf"{name}:\s+(\d+)", status) for name in ("Threads", "VmRSS"))
    assert threads
    assert memory
    files = len(os.listdir(f"/proc/{station}/fd"))
    return int(threads[1]), files, int(memory[1])


def visited(home: Home) -> list[object]:
    """What a desk is told that meets the station and leaves at once."""
    folder = Path(home.environment["XDG_RUNTIME_DIR"]) / "broadcaster"
    (key,) = folder.glob("*.key")
    with Client(str(key.with_suffix(".socket")), authkey=key.read_bytes()) as desk:
        told = desk.recv()
    assert isinstance(told, Greeting)
    return list(told.standing)


def test_the_broadcast_goes_on_frame_for_frame(home: Home) -> None:
    """Killed in the midst of a session, the same command shows it again; a hundred desks come and
    go; what went out is, sample for sample, what goes out if nobody looks.
    """
    wav = home.folder / "OUT.wav"
    command = ("air", DEMO, "--output", f"file:{wav}", "--start", "--seed", SEED)
    first = Terminal(home, *command)
    until(lambda: "watch" in first.text, "the first console shows the segment")
    (station,) = stations_of(home)
    first.desk.kill()
    first.desk.wait()

    visited(home)
    before = held_by(station)
    for _ in range(VISITS):
        standing = visited(home)
    assert any(isinstance(event, SegmentEntered) for event in standing)
    until(lambda: held_by(station)[:2] == before[:2], "no thread and no file is left behind")
    assert held_by(station)[2] - before[2] < 4_096, "nor 40 kB for each"

    second = Terminal(home, *command)
    until(lambda: "watch" in second.text, "the second console shows the running session")
    assert stations_of(home) == [station]
    second.desk.send_signal(signal.SIGTERM)
    with contextlib.suppress(subprocess.TimeoutExpired):
        second.desk.wait(timeout=LIMIT_S)
    until(lambda: not stations_of(home))

    with wave.open(str(wav)) as file:
        heard = file.readframes(file.getnframes())
        frames = file.getnframes()
    programme = load_programme(str(DEMO))
    items = ItemsMadeHere(programme, Speaker(None))
    broadcast = Broadcast(programme, items, seed=SEED, length=frames)
    broadcast.receive(StartSession(), 0)
    assert heard == pcm_from_samples(broadcast.render(frames))
