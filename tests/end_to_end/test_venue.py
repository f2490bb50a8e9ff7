"""Two stations on two machines, one broker, and the venue's console on the second machine."""

import os
import shutil
import signal
import subprocess
import time
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import IO, ClassVar

import pytest

from tests.end_to_end.network import Network
from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import DEMO, Home, command
from tests.room.broker import Broker
from tests.services import needs

pytestmark = needs("mosquitto")
LIMIT_S = 40.0


@pytest.fixture
def network() -> Iterator[Network]:
    try:
        network = Network.lay()
    except OSError as error:
        pytest.skip(f"no network namespaces here: {error}")
    yield network
    network.take_away()


@pytest.fixture
def broker(network: Network, tmp_path: Path) -> Iterator[Broker]:
    """On the first machine."""
    broker = Broker(tmp_path, address=network.address, before=network.first)
    broker.start()
    yield broker
    broker.stop()


@pytest.fixture(autouse=True)
def no_process_stays() -> Iterator[None]:
    yield
    for process in Told.processes:
        process.kill()
        process.wait()
    Told.processes.clear()


class Told:
    """A command, what it says, and what is typed to it."""

    processes: ClassVar[list["subprocess.Popen[str]"]] = []

    def __init__(self, home: Home, before: tuple[str, ...], *arguments: object) -> None:
        self._path = home.folder / f"{time.monotonic_ns()}.txt"
        (home.folder / "xdg_runtime_dir").mkdir(exist_ok=True)
        with self._path.open("w") as said:
            self.process = subprocess.Popen(
                [*before, *command(*arguments)],
                env=home.environment,
                text=True,
                stdin=subprocess.PIPE,
                stdout=said,
                stderr=said,
            )
        self.processes.append(self.process)

    @property
    def said(self) -> str:
        return self._path.read_text()

    def type(self, line: str) -> None:
        keyboard: IO[str] | None = self.process.stdin
        assert keyboard
        keyboard.write(f"{line}\n")
        keyboard.flush()

    def wait_for(self, reached: Callable[[str], bool] | str) -> None:
        deadline = time.monotonic() + LIMIT_S
        while not (reached in self.said if isinstance(reached, str) else reached(self.said)):
            assert time.monotonic() < deadline, f"{reached}: {self.said[-2000:]}"
            time.sleep(0.05)

    def end(self) -> int:
        self.process.send_signal(signal.SIGINT)
        return self.process.wait(LIMIT_S)


def on_air(home: Home, before: tuple[str, ...], callsign: str, broker: Broker) -> Told:
    """The demo under another callsign, with a line to the broker."""
    folder = home.folder / callsign
    folder.mkdir()
    script = DEMO.read_text().replace("callsign: Heron", f"callsign: {callsign}")
    (folder / "low-water.yaml").write_text(script)
    shutil.copytree(
        DEMO.parent, folder, ignore=shutil.ignore_patterns("*.yaml"), dirs_exist_ok=True
    )
    (folder / "station.yaml").write_text(
        f"mqtt: {{broker: {broker.address}, port: {broker.port}}}\n"
    )
    options = ("--output", "silent", "--start", "--no-console")
    return Told(home, before, "air", folder / "low-water.yaml", *options)


def test_two_machines_are_one_venue(home: Home, network: Network, broker: Broker) -> None:
    """The list has both; one is operated from the other machine; the other's death hurts nobody."""
    heron = on_air(home, network.first, "Heron", broker)
    tern = on_air(home, network.second, "Tern", broker)
    for station in (heron, tern):
        station.wait_for("segment 'watch'")
    at = ("venue", "--broker", f"{broker.address}:{broker.port}", "--plain")
    venue = Told(home, network.second, *at)
    venue.wait_for("Heron (heron), Low Water, watch, session ")
    venue.wait_for("Tern (tern), Low Water, watch, session ")

    console = Told(home, network.second, *at, "--station", "heron")
    console.wait_for("segment 'watch'")
    console.type("jump 2 now")
    heron.wait_for("segment 'watch again' (jump)")
    venue.wait_for("Heron (heron), Low Water, watch again, session ")
    console.type("leave")
    console.wait_for("Leave this console? The station stays on air. Type yes or no.")
    console.type("yes")
    assert console.process.wait(LIMIT_S) == 0
    assert heron.process.poll() is None

    stations = stations_of(home)
    assert len(stations) == 2
    before = tern.said
    for process in (heron.process.pid, *_stations_in(network.first, stations)):
        os.kill(process, signal.SIGKILL)
    venue.wait_for("Heron (heron), Low Water, NO WORD")
    tern.wait_for(lambda said: len(said) > len(before))
    venue.type("list")
    venue.type("leave")
    assert venue.process.wait(LIMIT_S) == 0
    assert tern.end() == 0
    assert "Tern (tern), Low Water, NO WORD" not in venue.said


def _stations_in(before: tuple[str, ...], stations: list[int]) -> list[int]:
    """Those of the stations that run on a machine."""
    told = subprocess.run(
        ["ip", "netns", "pids", before[-1]], check=True, capture_output=True, text=True
    ).stdout.split()
    return [station for station in stations if str(station) in told]
