"""An independent listener who copies figures: PocketSphinx with a grammar of five figures.

Its acoustic model is of American speech; it knows nothing of our voices. Digital silence misleads
it, so that white noise lies 40 dB under all it hears. It is a smoke check of the right figures in
the right order in little noise, and no measure of intelligibility.
"""

import random
import tempfile
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

import numpy as np
from scipy.signal import resample_poly

from broadcaster.script.profiles import VoiceProfile
from broadcaster.units import RATE, Samples, frames_from_seconds, gain_from_db, silence
from broadcaster.voice.engine import Announcer
from broadcaster.voice.finish import sounding_rms
from broadcaster.voice.reading import read_groups

HEARD_HZ = 16_000
FLOOR_DB = -40.0
PEAK = 0.5
PAD_S = 0.5
FIGURES_A_GROUP = 5
PLAIN = {
    "zero": "0",
    "one": "1",
    "two": "2",
    "three": "3",
    "four": "4",
    "five": "5",
    "six": "6",
    "seven": "7",
    "eight": "8",
    "nine": "9",
}
AERONAUTICAL = {
    "zero": "0",
    "wun": "1",
    "two": "2",
    "tree": "3",
    "fower": "4",
    "fife": "5",
    "six": "6",
    "seven": "7",
    "ait": "8",
    "niner": "9",
}
"""Figures as in ICAO Annex 10 Vol II, 5.2.1.4.3; `too` sounds as `two`."""
_NOT_IN_ITS_DICTIONARY = {"wun": "W AH N", "fower": "F AW ER", "ait": "EY T"}


def balanced_groups(seed: int, groups: int = 30) -> list[str]:
    """Groups of five figures in which each figure comes equally often, in an order by the seed."""
    figures = [str(number % 10) for number in range(FIGURES_A_GROUP * groups)]
    random.Random(seed).shuffle(figures)
    return ["".join(figures[at : at + FIGURES_A_GROUP]) for at in range(0, len(figures), 5)]


def group_said(group: str, profile: VoiceProfile, speaker: Announcer) -> Samples:
    """A group as the station reads it, with half a second of silence before and after."""
    quiet = profile.model_copy(update={"pause": 0.0, "readings": "once"})
    read = read_groups(
        group, quiet, figures=None, gap=None, group_gap=None, rate=None, speaker=speaker
    )
    pad = silence(frames_from_seconds(PAD_S))
    return np.concatenate([pad, read, pad])


@dataclass(frozen=True)
class Score:
    """How many figures were sent, and how many of them were not copied as sent."""

    figures: int
    wrong: int

    @property
    def right(self) -> float:
        """The part that was copied: 1 - edit distance / figures."""
        return 1.0 - self.wrong / self.figures


class Listener:
    """Copies groups of five figures. Its words are those of the service that sends."""

    def __init__(self, words: dict[str, str]) -> None:
        self._words = words

    def score(self, sent: list[str], heard: list[Samples], seed: int) -> Score:
        """How well groups are copied from their sounds; the noise under each is by the seed."""
        wrong = sum(
            edits(group, self.copy(sound, 1000 * seed + number))
            for number, (group, sound) in enumerate(zip(sent, heard, strict=True))
        )
        return Score(sum(map(len, sent)), wrong)

    def copy(self, samples: Samples, seed: int) -> str:
        """What is copied from one group's sound at RATE; empty if nothing is."""
        heard = resample_poly(samples.astype(np.float64), 1, RATE // HEARD_HZ)
        floor = np.random.default_rng(seed).standard_normal(len(heard))
        heard += floor * sounding_rms(samples) * gain_from_db(FLOOR_DB)
        frames = np.round(heard / np.abs(heard).max() * PEAK * 32_767).astype("<i2")
        decoder = self._decoder
        decoder.start_utt()
        decoder.process_raw(frames.tobytes(), False, True)
        decoder.end_utt()
        guess = decoder.hyp()
        return "".join(self._words[word] for word in guess.hypstr.split()) if guess else ""

    @cached_property
    def _decoder(self):
        from pocketsphinx import Decoder, get_model_path

        model = Path(get_model_path("en-us"))
        with tempfile.TemporaryDirectory() as folder:
            grammar = Path(folder) / "figures.gram"
            dictionary = Path(folder) / "figures.dict"
            known = (model / "cmudict-en-us.dict").read_text(encoding="utf-8")
            added = [f"{word} {said}" for word, said in _NOT_IN_ITS_DICTIONARY.items()]
            dictionary.write_text(known + "\n".join(added) + "\n", encoding="utf-8")
            grammar.write_text(
                "#JSGF V1.0;\ngrammar figures;\n"
                f"<figure> = {' | '.join(self._words)};\n"
                f"public <group> = {' '.join(['<figure>'] * FIGURES_A_GROUP)};\n"
            )
            return Decoder(
                hmm=str(model / "en-us"),
                dict=str(dictionary),
                lm=None,
                jsgf=str(grammar),
                samprate=HEARD_HZ,
                topn=8,
                silprob=0.1,
                loglevel="FATAL",
            )


def edits(sent: str, copied: str) -> int:
    """Levenshtein's distance: figures to change, to add or to take out."""
    row = list(range(len(copied) + 1))
    for number, figure in enumerate(sent, 1):
        diagonal, row[0] = row[0], number
        for place, other in enumerate(copied, 1):
            diagonal, row[place] = (
                row[place],
                min(row[place] + 1, row[place - 1] + 1, diagonal + (figure != other)),
            )
    return row[-1]
