"""How fast the stream is: `python -m tests.benchmarks.stream`.

For each sound that ships, through reception and transmitter on one core, in blocks as live and as
into a file: how many times faster than real time, and how many times longer than a copy of the
same samples and than one band-pass alone. The best of three runs counts.
"""

import time
from collections.abc import Callable

import numpy as np

from broadcaster.period.bands import BandLimit
from broadcaster.period.chance import Chance
from broadcaster.period.reception import Reception
from broadcaster.script.shelves import shipped_sounds
from broadcaster.script.sounds import Sound
from broadcaster.transmitter.transmitter import Transmitter
from broadcaster.units import RATE, Samples, gain_from_db

SECONDS = 60
BLOCKS = (1_024, 65_536)
RUNS = 3

Process = Callable[[Samples, int], object]


def broadcast(sound: Sound) -> Process:
    """A fresh reception and transmitter, one behind the other."""
    reception, transmitter = Reception(sound, 1), Transmitter()
    return lambda block, frame: transmitter.process(reception.process(block, frame), frame)


def seconds_of(make: Callable[[], Process], programme: Samples, length: int) -> float:
    """The least processor time for the whole programme, in blocks of `length` frames."""
    best = float("inf")
    for _ in range(RUNS):
        process = make()
        began = time.process_time()
        for frame in range(0, len(programme), length):
            process(programme[frame : frame + length], frame)
        best = min(best, time.process_time() - began)
    return best


def main() -> None:
    """Print the table."""
    noise = np.random.default_rng(1).standard_normal(SECONDS * RATE, dtype=np.float32)
    programme = noise * np.float32(gain_from_db(-20.0))
    chance = Chance(1, "noise")
    rows: dict[str, Callable[[], Process]] = {
        "copy": lambda: lambda block, _frame: block.copy(),
        "one band-pass": lambda: BandLimit(300.0, 3400.0, 24.0, RATE).process,
        "white noise": lambda: lambda block, frame: chance.white(frame, len(block)),
        "transmitter": lambda: Transmitter().process,
    }
    for name, sound in shipped_sounds().items():
        rows[name] = lambda sound=sound: broadcast(sound)
    for length in BLOCKS:
        taken = {name: seconds_of(make, programme, length) for name, make in rows.items()}
        print(f"\n{length} frames a block  x real time  x copy  x one band-pass")
        for name, seconds in taken.items():
            print(
                f"{name:24}{SECONDS / seconds:13.0f}{seconds / taken['copy']:8.0f}"
                f"{seconds / taken['one band-pass']:17.2f}"
            )


if __name__ == "__main__":
    main()
