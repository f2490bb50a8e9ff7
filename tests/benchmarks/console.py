"""How soon a key shows, and what the console costs: `python -m tests.benchmarks.console`.

The demo is on air with its console on a terminal of our own. A key is pressed that changes the
light; its delay is from the writing of the key to the arrival of the first cell in the new colours.
Then consoles are opened and killed, one after the other, on one station.
"""

import contextlib
import json
import os
import random
import signal
import subprocess
import sys
import time
from collections.abc import Iterator
from itertools import pairwise

from broadcaster.console.palette import DAY, NIGHT
from tests.benchmarks.at_rest import memory, processor_s
from tests.benchmarks.figures import figure, heading, spread
from tests.benchmarks.on_air import Terminal, a_home, airing
from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import DEMO, Home

KEYS = 40
MEASURED_S = 20.0
CONSOLES = 100
LIGHT = b"\x14"
"""Ctrl+T."""
_MIB = 1024 * 1024


def main() -> None:
    """Print the figures."""
    heading("The console, on a terminal of 120 by 40")
    terminal = Terminal()
    with a_home() as home, airing(home, "silent", console=True, terminal=terminal) as desk:
        time.sleep(6.0)
        figure("key to changed screen", spread(_keys(terminal), ".0f", "ms"), "under 100 ms")
        with _busy(os.cpu_count() or 1):
            busy = spread(_keys(terminal), ".0f", "ms")
        figure("the same with every core busy", busy, "under 100 ms")
        before = processor_s(desk)
        time.sleep(MEASURED_S)
        share = (processor_s(desk) - before) / MEASURED_S
        figure("console and desk, of one core", f"{share:.1%}", "under 6 %")
    with a_home() as home:
        _open_and_kill(home)


def _keys(terminal: Terminal) -> list[float]:
    """Milliseconds from the key to the first cell in the other light."""
    delays: list[float] = []
    chance = random.Random(1)
    grounds = [_colour(DAY.dial.ground), _colour(NIGHT.dial.ground)]
    for number in range(KEYS):
        pressed_s = terminal.press(LIGHT)
        drawn_s = terminal.wait_for(grounds[number % 2], pressed_s)
        delays.append(1000.0 * (drawn_s - pressed_s))
        time.sleep(chance.uniform(0.2, 0.4))
    return delays


def _colour(colour: str) -> bytes:
    """A ground as the terminal is told of it."""
    parts = (str(int(colour[place : place + 2], 16)) for place in (1, 3, 5))
    return f"48;2;{';'.join(parts)}".encode()


@contextlib.contextmanager
def _busy(cores: int) -> Iterator[None]:
    """Every core has something else to do."""
    others = [subprocess.Popen([sys.executable, "-c", "while True: pass"]) for _ in range(cores)]
    try:
        yield
    finally:
        for other in others:
            other.kill()
            other.wait()


def _open_and_kill(home: Home) -> None:
    """The station's memory before and after, and every frame in its log exactly once."""
    log = home.folder / "evening.jsonl"
    options = ["air", DEMO, "--output", "silent", "--start", "--log", log]
    first = home.start(*options, "--json", stdout=subprocess.DEVNULL)
    time.sleep(10.0)
    (station,) = stations_of(home)
    before = memory(station, "Rss")
    first.kill()
    first.wait()
    home.extra |= {"TERM": "xterm-256color", "COLORTERM": "truecolor"}
    for _ in range(CONSOLES):
        terminal = Terminal()
        theirs = terminal.theirs
        desk = home.start(*options, stdin=theirs, stdout=theirs, stderr=theirs)
        terminal.start()
        terminal.wait_for(b"91.3 MHz", 0.0)
        desk.kill()
        desk.wait()
    grown = (memory(station, "Rss") - before) / _MIB
    last = home.start(*options, "--json", stdout=subprocess.DEVNULL)
    time.sleep(3.0)
    last.send_signal(signal.SIGINT)
    last.wait(timeout=20.0)
    records = [json.loads(line) for line in log.read_text().splitlines()]
    aired = [record for record in records if record["event"] == "item aired"]
    gaps = sum(one["end_frame"] != other["start_frame"] for one, other in pairwise(aired))
    underruns = records[-1]["underruns"]
    figure(f"{CONSOLES} consoles, one after the other: gaps", f"{gaps} in {len(aired)} items", "0")
    figure("underruns of the output meanwhile", f"{underruns}", "0")
    figure("growth of the station meanwhile", f"{grown:+.1f} MB", "the items it keeps ready")


if __name__ == "__main__":
    main()
