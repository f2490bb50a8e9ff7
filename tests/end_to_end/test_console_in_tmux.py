"""The console on a real terminal: a session by send-keys, and a console that is killed on air."""

import json
import os
import shlex
import signal
import subprocess
import time
from collections.abc import Callable, Iterator
from itertools import pairwise
from pathlib import Path
from typing import Any

import pytest

from broadcaster.console.asking import READING_S
from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import DEMO, Home, command
from tests.services import needs

pytestmark = needs("tmux")

LIMIT_S = 30.0
SIZE = ("-x", "80", "-y", "24")


class Screen:
    """The command in a terminal of its own."""

    def __init__(self, home: Home, *arguments: object) -> None:
        self._socket = str(home.folder / "tmux")
        (home.folder / "xdg_runtime_dir").mkdir(exist_ok=True)
        environment = {**home.environment, "TERM": "screen-256color", "COLORTERM": "truecolor"}
        told = f"exec {shlex.join(command(*arguments))}"
        self._tmux("new-session", "-d", *SIZE, told, env=environment)
        self.process = int(self._tmux("display-message", "-p", "#{pane_pid}"))

    def press(self, *keys: str) -> None:
        """Keys by tmux's names."""
        self._tmux("send-keys", *keys)

    def write(self, text: str) -> None:
        """Letters as they are."""
        self._tmux("send-keys", "-l", text)

    def shows(self, *words: str) -> str:
        """Wait until all of these stand on the screen."""
        deadline = time.monotonic() + LIMIT_S
        while True:
            shown = self._tmux("capture-pane", "-p")
            if all(word in shown for word in words):
                return shown
            assert time.monotonic() < deadline, f"{words} not on\n{shown}"
            time.sleep(0.05)

    def close(self) -> None:
        """Whatever still runs in it is hung up."""
        subprocess.run(["tmux", "-S", self._socket, "kill-server"], check=False, timeout=10)

    def _tmux(self, *arguments: str, env: dict[str, str] | None = None) -> str:
        told = ["tmux", "-S", self._socket, "-f", "/dev/null", *arguments]
        return subprocess.run(
            told, env=env, check=True, capture_output=True, text=True, timeout=10
        ).stdout


@pytest.fixture
def screen(home: Home) -> Iterator[Callable[..., Screen]]:
    """Opens a terminal on the command; it is closed afterwards, and the station with it."""
    opened: list[Screen] = []

    def start(*arguments: object) -> Screen:
        opened.append(Screen(home, *arguments))
        return opened[-1]

    yield start
    for one in opened:
        one.close()


def quick_demo(folder: Path) -> Path:
    """The demo, in which the first milestone stalls after two seconds."""
    text = DEMO.read_text(encoding="utf-8")
    quick = text.replace("by: 11 min", "by: 1 s").replace("hint after: 13 min", "hint after: 2 s")
    assert quick != text
    script = folder / "quick.yaml"
    script.write_text(quick, encoding="utf-8")
    return script


def logged(log: Path) -> list[dict[str, Any]]:
    """The whole lines of a log."""
    return [json.loads(line) for line in log.read_text().splitlines()]


def test_a_session_by_keys(home: Home, screen: Callable[..., Screen]) -> None:
    """A stall, a hint, an announcement, the plain voice, a reset; and the log has them all."""
    log = home.folder / "evening.jsonl"
    script = quick_demo(home.folder)
    console = screen("air", script, "--output", "silent", "--log", log)
    console.shows("STAND BY", "Ctrl+S begin a session")
    console.press("C-s")
    console.shows("first crate: late by", "Ctrl+G hint")
    console.press("C-g")
    console.press("C-a")
    console.write("Mind the third stair.")
    console.press("C-n", "Enter")  # it may cut a clue, and asks then
    console.shows("ANNOUNCEMENT", "Mind the third stair.")
    console.press("C-p")
    console.shows("never replaces the venue's own alarm", "all else off?")
    time.sleep(0.1)
    console.press("C-p")
    console.shows("all else is off air", "This is not part of the game.")
    time.sleep(1.1)
    console.press("C-p")
    console.shows("Stop the plain voice?")
    console.press("Enter")
    console.shows("Ctrl+O let it go on")
    console.press("C-o")
    console.shows("The session goes on.")
    console.press("C-x")
    console.shows("End the session and reset all for the next team?")
    console.press("Enter")
    console.shows("STAND BY", "The session is reset")
    console.press("C-q")
    console.shows("Take the station off air?")
    console.press("Enter")
    deadline = time.monotonic() + LIMIT_S
    while logged(log)[-1]["event"] != "station closed":
        assert time.monotonic() < deadline
        time.sleep(0.05)
    events = [record["event"] for record in logged(log)]
    wanted = ["session started", "stalled", "plain voice started", "plain voice stopped"]
    places = [events.index(event) for event in [*wanted, "resumed", "session ended"]]
    assert places == sorted(places)
    parts = {record["part"] for record in logged(log) if record["event"] == "item aired"}
    assert {"announcement", "plain voice"} <= parts


def test_a_console_that_is_killed_on_air(home: Home, screen: Callable[..., Screen]) -> None:
    """The station goes on frame by frame, and the same command shows the session that runs."""
    log = home.folder / "evening.jsonl"
    arguments = ("air", DEMO, "--output", "silent", "--start", "--log", log)
    console = screen(*arguments)
    console.shows("ON AIR", "watch, round 1")
    console.press("C-o")
    console.shows("Ctrl+O let it go on")
    (station,) = stations_of(home)
    os.kill(console.process, signal.SIGKILL)
    console.close()
    again = screen(*arguments)
    again.shows("● watch", "Ctrl+O let it go on")
    assert stations_of(home) == [station]
    again.press("C-o")
    again.shows("The session goes on.", "● ON AIR")
    again.press("C-q", "Enter")
    deadline = time.monotonic() + LIMIT_S
    while stations_of(home):
        assert time.monotonic() < deadline
        time.sleep(0.05)
    records = logged(log)
    aired = [record for record in records if record["event"] == "item aired"]
    assert sum(record["event"] == "station opened" for record in records) == 1
    assert all(one["end_frame"] == other["start_frame"] for one, other in pairwise(aired))


def test_a_recording_on_the_screen(home: Home, screen: Callable[..., Screen]) -> None:
    """`console LOG` shows what `rehearse --log` wrote, and refuses what cannot be changed."""
    log = home.folder / "rehearsed.jsonl"
    rehearsed = home.run("rehearse", DEMO, "--for", "20s", "--log", log)
    assert rehearsed.code == 0, rehearsed.errors
    console = screen("console", log, "--script", DEMO, "--speed", "2")
    console.shows("ON AIR", "watch, round 1", "a recording")
    console.press("C-g")
    console.shows("This is a recording: nothing in it can be changed.")
    console.press("C-q")
    console.shows("Close the recording?")


def test_ctrl_c_in_line_mode(home: Home, screen: Callable[..., Screen]) -> None:
    """On a terminal it asks while a session runs, and pressed again it is the answer."""
    console = screen("air", DEMO, "--output", "silent", "--start", "--plain")
    console.shows("segment 'watch'")
    console.press("C-c")
    console.shows("A SESSION RUNS: all silent!", "Ctrl-C again is yes")
    assert stations_of(home)
    time.sleep(READING_S)  # at once it is taken for a reflex
    console.press("C-c")
    deadline = time.monotonic() + LIMIT_S
    while stations_of(home):
        assert time.monotonic() < deadline
        time.sleep(0.05)


def test_line_mode_in_a_pipe(home: Home) -> None:
    """What is typed is obeyed and answered, a line each, until the station is off air."""
    desk = home.start(
        *("air", DEMO, "--output", "silent", "--start", "--plain"), stdin=subprocess.PIPE
    )
    assert desk.stdin
    assert desk.stdout
    desk.stdin.write("help\n")
    desk.stdin.flush()
    told = [desk.stdout.readline()]
    while "segment 'watch'" not in told[-1]:
        told.append(desk.stdout.readline())
        assert told[-1], told
    desk.stdin.write("hold\noff air\nyes\n")
    desk.stdin.flush()
    told += desk.stdout.readlines()
    shown = "".join(told)
    assert "\njump SEGMENT [now or after round] [with a TRANSITION]: " in shown
    assert "The session is held after this item" in shown
    assert "Take the station off air? Type yes or no." in shown
    assert told[-1].endswith("off air\n")
    assert desk.wait(timeout=LIMIT_S) == 0
