"""How fast a segment is rendered: `python -m tests.benchmarks.render`.

The demo's longest segment through `shortwave 1960`, on one core, as `render` does it: items from
cached speech, story, reception, transmitter, in blocks of 65,536 frames. Beside it a copy of the
same samples in the same blocks. The file is not written.
"""

import tempfile
import time
from collections.abc import Callable
from pathlib import Path

import numpy as np

from broadcaster.rehearsal.loop import BLOCK_FRAMES, dry_round, looped, made_round, round_of
from broadcaster.script.loading import load_programme
from broadcaster.script.programme import Programme
from broadcaster.script.shelves import shipped_sounds
from broadcaster.units import Samples, seconds_from_frames
from broadcaster.voice.cache import SpeechCache
from broadcaster.voice.speaker import Speaker
from tests.benchmarks.figures import figure, heading, spread
from tests.end_to_end.run import DEMO
from tests.rehearsal.items import ItemsMadeHere

SOUND = "shortwave 1960"
RUNS = 9


def main() -> None:
    """Print the figures."""
    script = load_programme(str(DEMO))
    programme = script.model_copy(update={"period": shipped_sounds()[SOUND]})
    with tempfile.TemporaryDirectory() as folder:
        items = ItemsMadeHere(programme, Speaker(SpeechCache(Path(folder))))
        rounds = {name: _dry(programme, name, items) for name in programme.segments}
        longest = max(rounds, key=lambda name: len(rounds[name]))
        heading(f"Rendering the demo's {longest!r} through {SOUND!r}, speech cached")
        _measure(programme, longest, items, rounds[longest])


def _measure(programme: Programme, segment: str, items: ItemsMadeHere, dry: Samples) -> None:
    length_s = seconds_from_frames(len(dry))
    whole = [
        _taken(lambda: looped(_dry(programme, segment, items), programme, 1)) for _ in range(RUNS)
    ]
    making = [_taken(lambda: _dry(programme, segment, items)) for _ in range(RUNS)]
    copying = [_taken(lambda: _copied(dry)) for _ in range(RUNS)]
    cpu_s, wall_s, items_s, copy_s = (
        np.median([run[clock] for run in runs])
        for runs, clock in ((whole, 0), (whole, 1), (making, 0), (copying, 0))
    )
    figure("length of the segment", f"{length_s:.1f} s")
    figure("times real time, processor time", f"{length_s / cpu_s:.0f}", "at least 100")
    figure("times real time, wall time", f"{length_s / wall_s:.0f}", "at least 100")
    figure("of that, making the items", f"{items_s / cpu_s:.0%}")
    figure("times as long as a copy of the same samples", f"{cpu_s / copy_s:.0f}")
    figure("processor time", spread([run[0] * 1000 for run in whole], ".0f", "ms"))


def _dry(programme: Programme, segment: str, items: ItemsMadeHere) -> Samples:
    return dry_round(made_round(round_of(programme, segment), items, lambda _done, _total: None))


def _copied(samples: Samples) -> None:
    for start in range(0, len(samples), BLOCK_FRAMES):
        samples[start : start + BLOCK_FRAMES].copy()


def _taken(work: Callable[[], object]) -> tuple[float, float]:
    """Processor seconds, wall seconds."""
    cpu, wall = time.process_time(), time.perf_counter()
    work()
    return time.process_time() - cpu, time.perf_counter() - wall


if __name__ == "__main__":
    main()
