"""What a venue costs on one machine: `python -m tests.benchmarks many`.

Sixteen stations (or as many as a number behind it says) of the demo, each with a callsign
of its own, output silent, in one command. Processor time over 30 s of all their processes,
the supervisor's included; and how often an output ran short, which is where frames came late.
"""

import json
import os
import subprocess
import sys
import time
from pathlib import Path

from tests.benchmarks.at_rest import children, memory, processor_s
from tests.benchmarks.figures import figure, heading
from tests.benchmarks.on_air import a_home
from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import DEMO, Home

STATIONS = 16
START_LIMIT_S = 240.0
WARM_UP_S = 30.0
MEASURED_S = 30.0
_MIB = 1024 * 1024


def main() -> None:
    """Print the figures."""
    count = int(sys.argv[1]) if len(sys.argv) > 1 else STATIONS
    heading(f"{count} stations in one command, output silent, over {MEASURED_S:.0f} s")
    with a_home() as home:
        _measure(home, _scripts(home, count))


def _scripts(home: Home, count: int) -> list[Path]:
    """The demo under so many callsigns. Each is worked out and spoken once, and shared."""
    text = DEMO.read_text()
    assert "callsign: Heron" in text
    scripts = [home.folder / f"post-{number}.yaml" for number in range(count)]
    for number, script in enumerate(scripts):
        script.write_text(text.replace("callsign: Heron", f"callsign: Post {number}"))
    return scripts


def _measure(home: Home, scripts: list[Path]) -> None:
    logs = home.folder / "logs"
    lines = home.folder / "lines"
    with lines.open("w") as told:
        began_s = time.monotonic()
        supervisor = home.start(
            *("air", *scripts, "--output", "silent", "--start", "--log", logs),
            stdout=told,
            stderr=subprocess.STDOUT,
        )
        try:
            while lines.read_text().count(" on air: ") < len(scripts):
                if time.monotonic() > began_s + START_LIMIT_S:
                    raise TimeoutError(lines.read_text())
                time.sleep(0.5)
            figure("until the last was on air", f"{time.monotonic() - began_s:.1f} s")
            time.sleep(WARM_UP_S)
            _measure_processes(home, supervisor.pid)
        finally:
            supervisor.terminate()
            code = supervisor.wait(timeout=60.0)
    figure("exit code", f"{code}", "0")
    closed = [_closed(log) for log in logs.glob("*.jsonl")]
    figure("times an output ran short, of all", f"{sum(closed)} in {len(closed)} logs", "0")


def _measure_processes(home: Home, supervisor: int) -> None:
    stations = stations_of(home)
    at_stations = [process for station in stations for process in (station, *children(station))]
    desks = [supervisor, *children(supervisor)]
    everyone = [*desks, *at_stations]
    before = {process: processor_s(process) for process in everyone}
    time.sleep(MEASURED_S)
    used = {process: processor_s(process) - before[process] for process in everyone}
    desk_share = sum(used[process] for process in desks) / MEASURED_S
    whole_share = sum(used.values()) / MEASURED_S
    figure("all processes, of one core", f"{whole_share:.1%}", "under 150 %")
    figure("of that, the supervisor and the desks", f"{desk_share:.1%}")
    figure("memory of all (PSS)", f"{sum(memory(one, 'Pss') for one in everyone) / _MIB:.0f} MB")
    figure("load at the end", f"{os.getloadavg()[0]:.1f}")


def _closed(log: Path) -> int:
    """How often the station's output had to do without it."""
    last = json.loads(log.read_text().splitlines()[-1])
    return int(last["underruns"])


if __name__ == "__main__":
    main()
