"""How well an independent listener copies figures from each English voice.

`python -m tests.benchmarks voices` prints a table: 30 groups of five figures, read as the station
reads them; clean, through a telephone's band, and as they are received in the demo's sound at
readability 4 to 1. It takes some ten minutes. `--search VOICE` measures settings near those of a
voice on some groups, the best first, and the best ones on other groups: what won by chance shows
there. What was found stands in voices.md, beside this file.
"""

import argparse
import itertools
from collections.abc import Callable, Iterable, Mapping, Sequence
from functools import partial

import numpy as np
from scipy.signal import butter, sosfilt

from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Listener as Ear
from broadcaster.listening.hearing import Way
from broadcaster.listening.solver import roughness_for
from broadcaster.period.conditions import STRONGEST
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.shelves import shipped_sounds, shipped_voices
from broadcaster.transmitter.making_up import make_up_db
from broadcaster.units import RATE, Samples
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import Utterance
from tests.benchmarks.figures import heading
from tests.voice.recogniser import AERONAUTICAL, PLAIN, Listener, balanced_groups, group_said

SEARCHED, HELD_OUT = 7, 8
"""The seeds of the groups on which settings are chosen, and of those on which they are judged."""
GROUPS = 30
GROUPS_SEARCHED = 6
SOUND = "coastal 1958"
GRADES = (4.0, 3.0, 2.0, 1.0)
VARIANTS = ("", "+Denis", "+Hugo", "+edward", "+klatt", "+klatt3", "+klatt4", "+f2", "+belinda")
SPEECHES = ("gmw/en", "gmw/en-GB-x-rp", "gmw/en-GB-scotland", "gmw/en-US")

_BAND = butter(4, (300.0, 3400.0), "bandpass", fs=RATE, output="sos")
_LISTENERS = {"plain": Listener(PLAIN), "aeronautical": Listener(AERONAUTICAL)}
_RECEPTION_SEED = 58


class Remembering:
    """A speaker who says each figure once and remembers it."""

    def __init__(self) -> None:
        self._said: dict[Utterance, Samples] = {}
        self._speaker = Speaker(None)

    def speak(self, utterance: Utterance) -> Samples:
        """The samples of an utterance."""
        if utterance not in self._said:
            self._said[utterance] = self._speaker.speak(utterance)
        return self._said[utterance]


def clean(said: Sequence[Samples]) -> list[Samples]:
    """The groups as the studio sends them."""
    return list(said)


def through_a_telephone(said: Sequence[Samples]) -> list[Samples]:
    """The groups without what lies outside 300 to 3,400 Hz."""
    return [sosfilt(_BAND, each).astype(np.float32) for each in said]


def received(said: Sequence[Samples], grade: float) -> list[Samples]:
    """The groups at a cheap receiver, in SOUND made as rough as a readability allows."""
    sound = shipped_sounds()[SOUND]
    way = Way(sound, _RECEPTION_SEED, make_up_db(sound))
    roughness = roughness_for(grade, np.concatenate(said), way, Copied.SPEECH).roughness
    return [each.received for each in Ear(said, way).hear(roughness, STRONGEST)]


QUICK: Mapping[str, Callable[[Sequence[Samples]], list[Samples]]] = {
    "clean": clean,
    "telephone": through_a_telephone,
}
CONDITIONS = QUICK | {f"grade {grade:g}": partial(received, grade=grade) for grade in GRADES}
"""What the listener hears of some groups, by the heading of a column."""


def scores(
    profile: VoiceProfile, seed: int, groups: int = GROUPS, conditions: Iterable[str] = CONDITIONS
) -> tuple[float, ...]:
    """The part of the figures that is copied in each condition."""
    speaker = Remembering()
    sent = balanced_groups(seed, groups)
    said = [group_said(group, profile, speaker) for group in sent]
    listener = _LISTENERS[profile.figures]
    return tuple(
        listener.score(sent, CONDITIONS[condition](said), seed).right for condition in conditions
    )


def main() -> None:
    """Print the table; with `--search VOICE` one of settings near a voice's instead."""
    parser = argparse.ArgumentParser(prog="python -m tests.benchmarks voices")
    parser.add_argument("--search", metavar="VOICE", help="an English voice that ships")
    search = parser.parse_args().search
    english = {name: voice for name, voice in shipped_voices().items() if voice.language == "en"}
    heading(f"Figures copied by an independent listener, of {5 * GROUPS}; groups {SEARCHED}")
    if search:
        _print_search(english[search])
    else:
        _print_rows(english.items(), SEARCHED)
        heading(f"The same, on groups {HELD_OUT}, with which nothing was chosen")
        _print_rows(english.items(), HELD_OUT)


def _print_rows(voices: Iterable[tuple[str, VoiceProfile]], seed: int) -> None:
    print(f"  {'':<44}" + "".join(f"{condition:>11}" for condition in CONDITIONS))
    for name, profile in voices:
        _print_row(name, scores(profile, seed))


def _print_row(name: str, found: tuple[float, ...]) -> None:
    print(f"  {name:<44}" + "".join(f"{part:>11.3f}" for part in found), flush=True)


def _print_search(profile: VoiceProfile) -> None:
    found = []
    for speech, variant, rate, pitch in itertools.product(
        SPEECHES, VARIANTS, (0, 20), (-15, 0, 15)
    ):
        near = profile.model_copy(
            update={
                "engine_voice": speech + variant,
                "rate": profile.rate + rate,
                "pitch": min(99, max(0, profile.pitch + pitch)),
            }
        )
        right = scores(near, SEARCHED, GROUPS_SEARCHED, QUICK)
        found.append((sum(right), near))
        _print_row(_settings(near), right)
    heading(f"The best five on groups {HELD_OUT}, with which nothing was chosen")
    for _, near in sorted(found, key=lambda each: -each[0])[:5]:
        _print_row(_settings(near), scores(near, HELD_OUT, conditions=QUICK))


def _settings(profile: VoiceProfile) -> str:
    return f"{profile.engine_voice} {profile.rate} wpm, pitch {profile.pitch}"


if __name__ == "__main__":
    main()
