"""What is achieved of the readability that is asked for: `python -m tests.benchmarks readability`.

For every sound and every voice that ships: a group of figures is asked for at each grade. The
roughness is worked out as the station does it; what is achieved is what is predicted for other
chance (another seed), thoroughly. Where that is further than 0.25 from what was asked for, the
solver's own reason stands below, or `!` for none. It takes some ten minutes; names of voices after
it take less. At the end, the processor time of a solution for a clue of ten seconds.
"""

import sys
import time

import numpy as np

from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Way
from broadcaster.listening.solver import ACCURACY, readability_of, roughness_for
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.shelves import shipped_sounds, shipped_voices
from broadcaster.transmitter.making_up import make_up_db
from broadcaster.units import Samples, seconds_from_frames
from broadcaster.voice.reading import read_groups
from broadcaster.voice.speaker import Speaker
from tests.benchmarks.figures import figure, heading, spread

GRADES = (5.0, 4.0, 3.0, 2.0)
FIGURES = "41972"
LONGER = "41972 08310 27145"
CLUE_S = 10.0
SEED, OTHER_SEED = 0, 1


def clue(profile: VoiceProfile, groups: str) -> Samples:
    """Groups as a voice reads them."""
    return read_groups(
        groups, profile, figures=None, gap=None, group_gap=None, rate=None, speaker=Speaker(None)
    )


def main() -> None:
    """Print the tables."""
    voices = {
        name: voice for name, voice in shipped_voices().items() if name in (sys.argv[1:] or [name])
    }
    ways = {name: (sound, make_up_db(sound)) for name, sound in shipped_sounds().items()}
    heading(f"Readability achieved, where {', '.join(f'{grade:g}' for grade in GRADES)} are asked")
    far: list[str] = []
    for name, voice in voices.items():
        item = clue(voice, FIGURES)
        for sound_name, (sound, make_up) in ways.items():
            cells = []
            for wanted in GRADES:
                solution = roughness_for(wanted, item, Way(sound, SEED, make_up), Copied.SPEECH)
                achieved = readability_of(
                    item,
                    Way(sound, OTHER_SEED, make_up),
                    Copied.SPEECH,
                    roughness=solution.roughness,
                )
                off = abs(achieved.mean - wanted) > ACCURACY
                if off:
                    far.append(f"{name}, {sound_name}, {wanted:g}: {solution.reason or '!'}")
                cells.append(f"{achieved.mean:5.2f}{'*' if off else ' '}({solution.roughness:.2f})")
            print(f"  {name:<10}{sound_name:<24}{'  '.join(cells)}", flush=True)
    print("\n  (roughness)   * further than a quarter from what was asked for:")
    for line in far:
        print(f"  {line}")
    _time_solutions(next(iter(voices.values())), ways)


def _time_solutions(voice: VoiceProfile, ways: dict) -> None:
    item = clue(voice, LONGER)
    item = np.resize(item, round(CLUE_S * len(item) / seconds_from_frames(len(item))))
    heading(f"Working out the roughness for a clue of {CLUE_S:g} s, processor time")
    for name, (sound, make_up) in ways.items():
        taken = []
        for wanted in GRADES:
            began = time.process_time()
            roughness_for(wanted, item, Way(sound, SEED, make_up), Copied.SPEECH)
            taken.append(time.process_time() - began)
        figure(name, spread(taken), "under 1.5 s")


if __name__ == "__main__":
    main()
