"""Two stations in one command: a desk is killed and comes back, and Ctrl-C takes both off air."""

import contextlib
import json
import os
import signal
import subprocess
import time
import wave
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

import numpy as np

from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import Home

LIMIT_S = 30.0
SCRIPT = """
programme: Two Lights
station: {{callsign: {callsign}, frequency: 91.3 MHz, voice: keeper}}
opening: watch
segments:
  watch: {{repeat: yes, play: [{{tone: 650 Hz, for: 1 s}}]}}
"""


def two_scripts(home: Home) -> list[Path]:
    """Heron's and Curlew's."""
    scripts = []
    for callsign in ("Heron", "Curlew"):
        scripts.append(home.folder / f"{callsign.lower()}.yaml")
        scripts[-1].write_text(SCRIPT.format(callsign=callsign))
    return scripts


def desk_of(supervisor: int, script: Path) -> int:
    """The process number of a script's desk."""
    children = Path(f"/proc/{supervisor}/task/{supervisor}/children").read_text().split()
    for child in children:
        with contextlib.suppress(OSError):
            if str(script).encode() in Path(f"/proc/{child}/cmdline").read_bytes().split(b"\0"):
                return int(child)
    raise AssertionError(f"no desk of {script} among {children}")


def test_a_killed_desk_comes_back_to_the_station_that_went_on(home: Home) -> None:
    """One line for its death; the log has no gap, the other station no line; each has its side."""
    scripts = two_scripts(home)
    wav = home.folder / "heron.wav"
    with (home.folder / "lines").open("w+") as lines:
        supervisor = home.start(
            *("air", *scripts, "--start", "--json", "--log", home.folder / "logs"),
            *("--output", "silent", "--output", f"{scripts[0]}=file:{wav}, left"),
            stdout=lines,
        )

        def records(callsign: str) -> list[dict[str, Any]]:
            told = Path(lines.name).read_text().splitlines()
            return [one for one in map(json.loads, told) if one["callsign"] == callsign]

        def until(reached: Callable[[], bool]) -> None:
            deadline = time.monotonic() + LIMIT_S
            while not reached():
                assert time.monotonic() < deadline, Path(lines.name).read_text()
                time.sleep(0.05)

        def on_air(callsign: str) -> bool:
            return any(one["state"] == "on air" for one in records(callsign))

        until(lambda: on_air("Heron") and on_air("Curlew"))
        stations = sorted(stations_of(home))
        desk = desk_of(supervisor.pid, scripts[0])
        os.kill(desk, signal.SIGKILL)
        until(lambda: any(one["event"] == "trouble" for one in records("Heron")))
        time.sleep(3.0)
        assert desk_of(supervisor.pid, scripts[0]) != desk
        assert sorted(stations_of(home)) == stations
        supervisor.send_signal(signal.SIGINT)
        assert supervisor.wait(timeout=LIMIT_S) == 0
    assert not stations_of(home)
    troubles = [one["sentence"] for one in records("Heron") if one["event"] == "trouble"]
    assert troubles == ["Its desk died (signal 9); another starts in 0.5 s."]
    for callsign in ("Heron", "Curlew"):
        states = [one["state"] for one in records(callsign) if one["event"] == "station"]
        assert [state for state in states if state != "standing by"] == ["on air", "off air"]
    _has_no_gap(home.folder / "logs")
    with wave.open(str(wav)) as file:
        frames = np.frombuffer(file.readframes(file.getnframes()), "<i2").reshape(-1, 2)
    assert np.abs(frames[:, 0]).max() > 1000
    assert not frames[:, 1].any()


def _has_no_gap(logs: Path) -> None:
    """One log for each station, in which every item begins where the one before it ended."""
    (log,) = logs.glob("heron-*.jsonl")
    items = [one for one in map(json.loads, log.read_text().splitlines()) if "start_frame" in one]
    assert len(items) >= 4
    for one, other in pairwise(items):
        assert other["start_frame"] == one["end_frame"]
    assert list(logs.glob("curlew-*.jsonl"))


def both_on_air(command: subprocess.Popen[str]) -> None:
    """Wait until both have said so."""
    assert command.stdout
    waited_for = {"Heron on air: watch", "Curlew on air: watch"}
    while waited_for:
        line = command.stdout.readline()
        assert line, "it ended"
        waited_for.discard(line.strip())


def test_stations_outlive_their_supervisor_and_are_met_again(home: Home) -> None:
    """Killed, it leaves no desk behind; the same command finds the station on air."""
    scripts = two_scripts(home)
    command = ("air", *scripts, "--start", "--output", "silent")
    first = home.start(*command)
    both_on_air(first)
    stations = sorted(stations_of(home))
    first.kill()
    first.communicate()
    second = home.start(*command)
    both_on_air(second)
    assert sorted(stations_of(home)) == stations
    second.send_signal(signal.SIGTERM)
    second.communicate(timeout=LIMIT_S)
    assert second.returncode == 0
    assert not stations_of(home)
