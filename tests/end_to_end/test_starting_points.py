"""The manual's starting points, followed word for word from an empty folder."""

import re
import shlex
import subprocess
import time
from pathlib import Path

import pytest

import broadcaster
from tests.end_to_end.run import Home, command
from tests.ports import free_port
from tests.services import needs

PAGE = (Path(broadcaster.__file__).parent / "manual" / "starting-points.md").read_text()
_, *POINTS = re.split(r"^## ", PAGE, flags=re.MULTILINE)
BLOCK = re.compile(r"^```(yaml)?\n(.*?)^```", re.DOTALL | re.MULTILINE)
LIMIT_S = 60.0
HERE = {
    "--clues --sound": "",  # what that takes its time for has tests of its own
    '"Desk speakers"': "silent",
    "8091": str(free_port()),
}
"""What differs where the page is tested: to hear nothing, and to be in nobody's way."""


class Follower:
    """Somebody who does what the page says."""

    def __init__(self, home: Home) -> None:
        self._home = home
        self._folder = home.folder / "empty"
        self._folder.mkdir()
        self._told = home.folder / "told.txt"
        self._station: subprocess.Popen[str] | None = None

    def follow(self, point: str) -> None:
        """Everything that one starting point has to write or to type."""
        for written, here in HERE.items():
            point = point.replace(written, here)
        for settings, text in BLOCK.findall(point):
            if settings:
                (self._folder / "station.yaml").write_text(text)
                continue
            for line in text.replace("\\\n", "").splitlines():
                self._type(line)
        self.go_off_air()

    def _type(self, line: str) -> None:
        program, *words = shlex.split(line)
        if program == "broadcaster" and words[0] == "air":
            self._go_on_air(words)
        elif program == "broadcaster":
            assert self._start(*command(*words), stdin=subprocess.DEVNULL).wait(LIMIT_S) == 0
        elif program == "curl":
            self._when_it_answers(program, *words, "--fail", "--silent")
        else:
            assert self._station
            assert self._station.stdin
            print(line, file=self._station.stdin, flush=True)
            self.hears(f"say: {line.removeprefix('say ')}")

    def _go_on_air(self, words: list[str]) -> None:
        self.go_off_air()
        silent = [] if "--output" in words else ["--output", "silent"]
        self._station = self._start(*command(*words, *silent), stdin=subprocess.PIPE)
        self.hears("station Heron.")
        if (self._folder / "station.yaml").exists():
            self.hears(f"Settings from {self._folder / 'station.yaml'}: ")
        if "--start" in words:
            self.hears("the session begins")

    def _start(self, *words: str, stdin: int) -> "subprocess.Popen[str]":
        with self._told.open("w") as told:
            return subprocess.Popen(
                words,
                cwd=self._folder,
                env=self._home.environment,
                text=True,
                stdin=stdin,
                stdout=told,
                stderr=told,
            )

    def _when_it_answers(self, *words: str) -> None:
        deadline = time.monotonic() + LIMIT_S
        while subprocess.run(words, capture_output=True).returncode:
            assert time.monotonic() < deadline, self._told.read_text()
            time.sleep(0.2)

    def hears(self, words: str) -> None:
        """Until the station has told so."""
        deadline = time.monotonic() + LIMIT_S
        while words not in self._told.read_text():
            assert time.monotonic() < deadline, self._told.read_text()
            time.sleep(0.05)

    def go_off_air(self) -> None:
        """In good order."""
        if self._station:
            self._station.terminate()
            assert self._station.wait(LIMIT_S) == 0
            self._station = None


@pytest.fixture
def follower(home: Home) -> Follower:
    (home.folder / "xdg_runtime_dir").mkdir()
    return Follower(home)


@pytest.mark.parametrize(
    "point",
    [
        pytest.param(point, id=point.split()[1], marks=needs("curl") if "curl" in point else ())
        for point in POINTS
    ],
)
def test_a_starting_point_can_be_followed(point: str, follower: Follower) -> None:
    """Each command does its work, and what is written is taken, with nothing prepared before."""
    follower.follow(point)
