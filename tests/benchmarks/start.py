"""How soon a command is there: `python -m tests.benchmarks.start`.

`--help`; and `air --start` with speech cached, from before its process is started to the moment
that the station writes down for the first frame it hands to the output. The first run of each is
not counted: it fills the caches, that of compiled Python too.
"""

import subprocess
import tempfile
import time
from datetime import datetime
from pathlib import Path

from tests.benchmarks.figures import figure, heading, spread
from tests.end_to_end.run import DEMO, Home

RUNS = 15


def main() -> None:
    """Print the figures."""
    heading(f"Starting, medians of {RUNS}")
    with tempfile.TemporaryDirectory() as folder:
        home = Home(Path(folder), {"PYTHONDONTWRITEBYTECODE": ""})
        helping = [_until_helped(home) for _ in range(RUNS + 1)][1:]
        figure("--help", spread(helping), "under 0.2 s")
        for output in ("silent", f"file:{folder}/out.wav"):
            starting = [_until_first_frame(home, output) for _ in range(RUNS + 1)][1:]
            kind = output.partition(":")[0]
            figure(f"air --start --output {kind}: first frame", spread(starting), "under 1.2 s")


def _until_helped(home: Home) -> float:
    began = time.monotonic()
    process = home.start("--help", stdout=subprocess.DEVNULL)
    process.communicate(timeout=30.0)
    return time.monotonic() - began


def _until_first_frame(home: Home, output: str) -> float:
    began = time.time()
    outcome = home.run(
        *("air", DEMO, "--output", output, "--start", "--for", "1s", "--json", "--seed", 1)
    )
    (started,) = outcome.of("output started")
    return datetime.fromisoformat(started["wall"]).timestamp() - began


if __name__ == "__main__":
    main()
