"""Makes the clip of murmur.py anew: `python -m broadcaster.period.make_murmur FILE`.

Three of our own voices speak by turns in syllables that are put together by chance, so that a
listener hears someone speak and nothing that was said.
"""

import sys
from pathlib import Path

import numpy as np
from numpy.typing import NDArray
from scipy.signal import resample_poly

from broadcaster.period.bands import BandLimit
from broadcaster.period.murmur import CLIP_RATE
from broadcaster.script.shelves import shipped_voices
from broadcaster.units import RATE, Samples, silence
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import utterance_of

_VOICES = ("deich", "faro", "phare")
_CLIP_S = 24.0
_OVERLAP_S = 0.3
_PEAK = 100
"""Of 127: the highest sample."""
_ONSETS = tuple("bdfgklmnprstvw")
_VOWELS = tuple("aeiou")
_CODAS = ("", "", "", "n", "r", "l")


def nonsense(rng: np.random.Generator) -> str:
    """A sentence of seven to eleven words in no language."""

    def word() -> str:
        syllables = range(int(rng.integers(1, 4)))
        return "".join(
            str(rng.choice(_ONSETS)) + str(rng.choice(_VOWELS)) + str(rng.choice(_CODAS))
            for _ in syllables
        )

    return " ".join(word() for _ in range(int(rng.integers(7, 12)))) + "."


def spoken() -> Samples:
    """The voices by turns, long enough for the clip and its overlap."""
    profiles = shipped_voices()
    rng = np.random.default_rng(1958)
    parts: list[Samples] = []
    with Speaker(None) as speaker:
        while sum(map(len, parts)) < (_CLIP_S + _OVERLAP_S) * RATE:
            profile = profiles[_VOICES[len(parts) // 2 % len(_VOICES)]]
            parts += [speaker.speak(utterance_of(nonsense(rng), profile)), silence(RATE // 4)]
    return np.concatenate(parts)[: round((_CLIP_S + _OVERLAP_S) * RATE)]


def made() -> NDArray[np.int8]:
    """The clip: telephone band, CLIP_RATE, its end crossfaded into its beginning."""
    speech = BandLimit(200.0, 3400.0, 24.0, RATE).process(spoken(), 0)
    speech = resample_poly(speech, 1, RATE // CLIP_RATE)
    frames = round(_CLIP_S * CLIP_RATE)
    overlap = len(speech) - frames
    clip, after = speech[:frames], speech[frames:]
    turn = (np.arange(overlap) + 0.5) * (np.pi / 2.0 / overlap)
    clip[:overlap] = clip[:overlap] * np.sin(turn) + after * np.cos(turn)
    clip *= _PEAK / np.abs(clip).max()
    stored: NDArray[np.int8] = np.rint(clip).astype(np.int8)
    return stored


if __name__ == "__main__":
    np.savez_compressed(Path(sys.argv[1]), clip=made())
