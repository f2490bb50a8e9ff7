"""Whatever dies, the broadcast goes on: the station, the speech worker, the desk."""

import json
import os
import signal
import subprocess
import time
from collections.abc import Callable
from itertools import pairwise
from pathlib import Path
from typing import Any

from broadcaster.units import RATE
from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import DEMO, Home

LIMIT_S = 30.0


class Listener:
    """A running broadcast, and its JSON lines as they come."""

    def __init__(self, home: Home, *arguments: object) -> None:
        self._lines = (home.folder / f"{time.monotonic_ns()}.jsonl").open("w+")
        self.process = home.start(
            *("air", DEMO, "--output", "silent", "--start", "--no-console", "--json"),
            *arguments,
            stdout=self._lines,
        )

    @property
    def records(self) -> list[dict[str, Any]]:
        text = Path(self._lines.name).read_text()
        return [json.loads(line) for line in text.splitlines()]

    def wait_for(self, reached: Callable[[list[dict[str, Any]]], bool]) -> list[dict[str, Any]]:
        deadline = time.monotonic() + LIMIT_S
        while not reached(self.records):
            assert time.monotonic() < deadline, self.records[-3:]
            time.sleep(0.05)
        return self.records

    def stop(self) -> int:
        self.process.send_signal(signal.SIGINT)
        try:
            return self.process.wait(timeout=LIMIT_S)
        except subprocess.TimeoutExpired:
            self.process.kill()
            raise


def items(records: list[dict[str, Any]]) -> list[dict[str, Any]]:
    return [record for record in records if record["event"] == "item aired"]


def test_a_station_that_dies_is_started_again_where_it_stood(home: Home) -> None:
    """The desk starts another, and the session goes on; the log says so; Ctrl-C ends it well."""
    listener = Listener(home)
    listener.wait_for(lambda records: len(items(records)) >= 1)
    time.sleep(2.5)  # older than a station that keeps dying
    (station,) = stations_of(home)
    os.kill(station, signal.SIGKILL)
    records = listener.wait_for(
        lambda records: sum(record["event"] == "station opened" for record in records) == 2
    )
    troubles = [record["sentence"] for record in records if record["event"] == "trouble"]
    assert troubles[0].startswith("The station died and was started again."), troubles
    assert len(troubles) == 1, troubles
    records = listener.wait_for(lambda records: records[-1]["event"] == "item aired")
    assert items(records)[-1]["segment"] == "watch"
    names = [record["event"] for record in records]
    assert names.count("session started") == 1
    clock = records[names.index("session restored") + 1]
    assert 2.5 * RATE < clock["session_frames"] < 60 * RATE
    assert listener.stop() == 0
    assert not stations_of(home)


def test_a_desk_that_dies_finds_its_station_again(home: Home) -> None:
    """The same command meets the station that went on; its as-run entries have no gap."""
    first = Listener(home, "--seed", 3)
    first.wait_for(lambda records: len(items(records)) >= 1)
    before = stations_of(home)
    first.process.kill()
    first.process.wait()
    time.sleep(6.0)
    second = Listener(home, "--seed", 3)
    records = second.wait_for(lambda records: len(items(records)) >= 2)
    assert stations_of(home) == before
    assert any(record["event"] == "station opened" for record in records)
    assert second.stop() == 0
    everything = items(first.records) + items(second.records)
    for one, other in pairwise(everything):
        assert other["start_frame"] == one["end_frame"]


def test_ctrl_c_takes_the_station_off_air(home: Home) -> None:
    """No process stays behind, the last entry is in the log, the exit code is 0."""
    listener = Listener(home)
    listener.wait_for(lambda records: len(items(records)) >= 1)
    assert listener.stop() == 0
    assert listener.records[-1]["event"] == "station closed"
    assert items(listener.records)[-1]["complete"] is False
    assert not stations_of(home)


def test_a_desk_that_comes_back_writes_on_in_the_same_log(home: Home) -> None:
    """One broadcast, one log, in order: what a new desk is told of before is no news."""
    first = Listener(home)
    first.wait_for(lambda records: len(items(records)) >= 1)
    first.process.kill()
    first.process.wait()
    second = Listener(home)
    second.wait_for(lambda records: len(items(records)) >= 1)
    assert second.stop() == 0
    (log,) = (home.folder / "xdg_state_home" / "broadcaster").glob("*.jsonl")
    logged = [json.loads(line) for line in log.read_text().splitlines()]
    assert sum(record["event"] == "station opened" for record in logged) == 1
    for one, other in pairwise(items(logged)):
        assert other["start_frame"] == one["end_frame"]
