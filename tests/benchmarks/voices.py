"""How well an independent listener copies figures from each English voice.

`python -m tests.benchmarks voices` prints a table: 30 groups of five figures, read as the station
reads them; clean, through a telephone's band, and in that band with white noise 20 dB under the
speech. It takes some two minutes. `--search VOICE` measures settings near those of a voice on some
groups, the best first, and the best ones on other groups: what won by chance shows there.
"""

import argparse
import itertools
from collections.abc import Iterable

import numpy as np
from scipy.signal import butter, sosfilt

from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.shelves import shipped_voices
from broadcaster.units import RATE, Samples, gain_from_db
from broadcaster.voice.finish import sounding_rms
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import Utterance
from tests.benchmarks.figures import heading
from tests.voice.recogniser import AERONAUTICAL, PLAIN, Listener, balanced_groups, group_said

SEARCHED, HELD_OUT = 7, 8
"""The seeds of the groups on which settings are chosen, and of those on which they are judged."""
GROUPS = 30
GROUPS_SEARCHED = 6
CONDITIONS = ("clean", "telephone band", "20 dB")
VARIANTS = ("", "+Denis", "+Hugo", "+edward", "+klatt", "+klatt3", "+klatt4", "+f2", "+belinda")
SPEECHES = ("gmw/en", "gmw/en-GB-x-rp", "gmw/en-GB-scotland", "gmw/en-US")

_BAND = butter(4, (300.0, 3400.0), "bandpass", fs=RATE, output="sos")
_LISTENERS = {"plain": Listener(PLAIN), "aeronautical": Listener(AERONAUTICAL)}


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


def heard(samples: Samples, condition: str, seed: int) -> Samples:
    """A group's sound as a condition leaves it."""
    if condition == "clean":
        return samples
    banded = sosfilt(_BAND, samples).astype(np.float32)
    if condition == "telephone band":
        return banded
    noise = sosfilt(_BAND, np.random.default_rng(seed).standard_normal(len(samples)))
    noise *= sounding_rms(banded) * gain_from_db(-20.0) / np.sqrt(np.square(noise).mean())
    return banded + noise.astype(np.float32)


def scores(profile: VoiceProfile, seed: int, groups: int = GROUPS) -> tuple[float, ...]:
    """The part of the figures that is copied in each of CONDITIONS."""
    speaker = Remembering()
    sent = balanced_groups(seed, groups)
    said = [group_said(group, profile, speaker) for group in sent]
    listener = _LISTENERS[profile.figures]
    return tuple(
        listener.score(
            sent, [heard(each, condition, 99 + number) for number, each in enumerate(said)], seed
        ).right
        for condition in CONDITIONS
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
    print(f"  {'':<34}" + "".join(f"{condition:>16}" for condition in CONDITIONS))
    for name, profile in voices:
        _print_row(name, scores(profile, seed))


def _print_row(name: str, found: tuple[float, ...]) -> None:
    print(f"  {name:<34}" + "".join(f"{part:>16.3f}" for part in found), flush=True)


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
        right = scores(near, SEARCHED, GROUPS_SEARCHED)
        found.append((sum(right), near))
        _print_row(_settings(near), right)
    heading(f"The best five on groups {HELD_OUT}, with which nothing was chosen")
    for _, near in sorted(found, key=lambda each: -each[0])[:5]:
        _print_row(_settings(near), scores(near, HELD_OUT))


def _settings(profile: VoiceProfile) -> str:
    return f"{profile.engine_voice} {profile.rate} wpm, pitch {profile.pitch}"


if __name__ == "__main__":
    main()
