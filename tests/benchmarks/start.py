"""How soon a command is there: `python -m tests.benchmarks.start`.

`--help`; and `air --start` with speech cached, from before its process is started to the moment
that the station writes down for the first frame it hands to the output. Beside it, what a Python
needs that does nothing but import scipy.signal: most of the way, and not ours to shorten. The first
run of each is not counted: it fills the caches, that of compiled Python too.
"""

import subprocess
import sys
import time
from datetime import datetime

from tests.benchmarks.figures import figure, heading, spread
from tests.benchmarks.on_air import a_home
from tests.end_to_end.run import DEMO, Home, command

RUNS = 15


def main() -> None:
    """Print the figures."""
    heading(f"Starting, medians of {RUNS}")
    with a_home() as home:
        helping, importing, starting = [], [], []
        for _ in range(RUNS + 1):  # in turn, so that a busy minute meets all of them
            helping.append(_until_ended(home, command("--help")))
            importing.append(_until_ended(home, [sys.executable, "-c", "import scipy.signal"]))
            starting.append(_until_first_frame(home, "silent"))
    figure("--help", spread(helping[1:]), "under 0.2 s")
    figure("air --start to the first frame", spread(starting[1:]), "under 1.2 s")
    figure("Python importing scipy.signal alone", spread(importing[1:]))
    ratios = [ours / theirs for ours, theirs in zip(starting[1:], importing[1:], strict=True)]
    figure("air --start, as a ratio to that", spread(ratios, unit="times"))


def _until_ended(home: Home, words: list[str]) -> float:
    began = time.monotonic()
    subprocess.run(words, env=home.environment, stdout=subprocess.DEVNULL, check=True, timeout=30)
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
