"""How many figures are copied at each grade of readability: `python -m tests.benchmarks copy`.

The independent listener of the voices' tests copies 150 figures, read in groups of five, at each
grade; the roughness is worked out as the station does it, once for all groups. It is a smoke check
of little noise and no measure of intelligibility: it gives up long before a person does. It takes
some minutes for each voice; names of English voices after it take less.
"""

import sys

import numpy as np

from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Listener as Ear
from broadcaster.listening.hearing import Way
from broadcaster.listening.solver import roughness_for
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.shelves import shipped_sounds, shipped_voices
from broadcaster.transmitter.making_up import make_up_db
from tests.benchmarks.figures import heading
from tests.benchmarks.voices import HELD_OUT, Remembering
from tests.voice.recogniser import AERONAUTICAL, PLAIN, Listener, balanced_groups, group_said

GRADES = (5.0, 4.0, 3.0, 2.0, 1.0)
SOUNDS = ("medium wave 1950", "coastal 1958", "shortwave 1960")
_LISTENERS = {"plain": Listener(PLAIN), "aeronautical": Listener(AERONAUTICAL)}


def scores(profile: VoiceProfile, way: Way) -> list[tuple[float, float]]:
    """The readability achieved at each of GRADES, and the part of the figures that is copied."""
    speaker = Remembering()
    sent = balanced_groups(HELD_OUT)
    said = [group_said(group, profile, speaker) for group in sent]
    ear = Ear(said, way)
    found = []
    for wanted in GRADES:
        solution = roughness_for(wanted, np.concatenate(said), way, Copied.SPEECH)
        heard = [stretch.received for stretch in ear.hear(solution.roughness, 5.0)]
        right = _LISTENERS[profile.figures].score(sent, heard, HELD_OUT).right
        found.append((solution.readability, right))
    return found


def main() -> None:
    """Print the table."""
    asked = sys.argv[1:]
    voices = {
        name: voice
        for name, voice in shipped_voices().items()
        if voice.language == "en" and (not asked or name in asked)
    }
    heading(f"Figures copied, of 150, at readability {', '.join(f'{g:g}' for g in GRADES)}")
    total = np.zeros(len(GRADES))
    for name, profile in voices.items():
        for sound_name in SOUNDS:
            sound = shipped_sounds()[sound_name]
            found = scores(profile, Way(sound, 0, make_up_db(sound)))
            total += [right for _, right in found]
            cells = "".join(f"{right:8.2f} ({grade:.1f})" for grade, right in found)
            print(f"  {name:<10}{sound_name:<20}{cells}", flush=True)
    means = total / (len(voices) * len(SOUNDS))
    print(f"  {'mean':<30}" + "".join(f"{right:8.2f}      " for right in means))


if __name__ == "__main__":
    main()
