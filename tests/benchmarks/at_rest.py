"""What a broadcast costs while nothing happens: `python -m tests.benchmarks.at_rest`.

Processor time over 30 s, and memory, of all processes together: station, speech worker and desk,
with the console on a terminal and without. As Linux counts them in /proc.
"""

import os
import time
from pathlib import Path

import numpy as np

from broadcaster.air.preparing import SHELF_FRAMES
from tests.benchmarks.figures import figure, heading
from tests.benchmarks.on_air import a_home, airing
from tests.end_to_end.processes import stations_of
from tests.end_to_end.run import Home

WARM_UP_S = 12.0
MEASURED_S = 30.0
_TICK_S = 1.0 / os.sysconf("SC_CLK_TCK")
_MIB = 1024 * 1024
_NAMES = (
    "desk and console",
    "station",
    "speech worker",
    "the operator's speech worker",
    "worker that works roughness out",
)


def main() -> None:
    """Print the figures."""
    heading(f"On air at rest, output silent, over {MEASURED_S:.0f} s")
    with a_home() as home:
        _measure(home, console=False)
        _measure(home, console=True)


def _measure(home: Home, *, console: bool) -> None:
    with airing(home, "silent", console=console) as desk:
        time.sleep(WARM_UP_S)
        (station,) = stations_of(home)
        at_station = [station, *children(station)]
        everyone = [desk, *at_station]
        before = {process: processor_s(process) for process in everyone}
        time.sleep(MEASURED_S)
        used = {process: (processor_s(process) - before[process]) for process in everyone}
        station_share = sum(used[process] for process in at_station) / MEASURED_S
        whole_share = sum(used.values()) / MEASURED_S
        if not console:
            figure("station and speech worker, of one core", f"{station_share:.1%}", "under 5 %")
            figure("with a desk that prints lines", f"{whole_share:.1%}")
            return
        figure("with the console at rest, of one core", f"{whole_share:.1%}", "under 8 %")
        figure("of that, the console and its desk", f"{used[desk] / MEASURED_S:.1%}")
        _print_memory(dict(zip(_NAMES, everyone, strict=True)))


def _print_memory(processes: dict[str, int]) -> None:
    """PSS counts what several processes share once, RSS counts it for each."""
    for kind, aim in (("Pss", "under 250 MB"), ("Rss", "")):
        whole = sum(memory(process, kind) for process in processes.values())
        figure(f"memory of all processes ({kind.upper()})", f"{whole / _MIB:.0f} MB", aim)
    shelf = SHELF_FRAMES * np.dtype(np.float32).itemsize
    figure("of that, ready items, which grow to at most", f"{shelf / _MIB:.0f} MB")
    for name, process in processes.items():
        figure(f"of that, {name} (PSS)", f"{memory(process, 'Pss') / _MIB:.0f} MB")


def children(process: int) -> list[int]:
    """The processes that a process has started, and that are still there."""
    listed = Path(f"/proc/{process}/task/{process}/children").read_text().split()
    return [int(child) for child in listed]


def processor_s(process: int) -> float:
    """User and system time, that of children that have ended included."""
    fields = Path(f"/proc/{process}/stat").read_text().rpartition(")")[2].split()
    return sum(int(field) for field in fields[11:15]) * _TICK_S


def memory(process: int, kind: str) -> int:
    """Bytes; kind: `Pss` or `Rss`."""
    for line in Path(f"/proc/{process}/smaps_rollup").read_text().splitlines():
        if line.startswith(f"{kind}:"):
            return int(line.split()[1]) * 1024
    raise RuntimeError(f"the system does not tell the {kind} of process {process}")


if __name__ == "__main__":
    main()
