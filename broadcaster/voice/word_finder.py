"""When each word of an item begins: found in what was made of the utterances."""

import numpy as np

from broadcaster.units import RATE, Samples
from broadcaster.voice.engine import DrySpeech
from broadcaster.voice.finish import samples_of
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import Utterance


class WordFinder:
    """An Announcer that listens to a speaker while one item is made."""

    def __init__(self, speaker: Speaker) -> None:
        self._speaker = speaker
        self._said: list[tuple[Samples, DrySpeech]] = []

    def speak(self, utterance: Utterance) -> Samples:
        """As the speaker does. Raises SpeechError."""
        dry = self._speaker.speak_dry(utterance)
        samples = samples_of(dry)
        self._said.append((samples, dry))
        return samples

    def words_in(self, item: Samples) -> tuple[tuple[int, str], ...]:
        """Each word of the item that was made, with its frame.

        The item is what was said, one utterance after the other, with silence between.
        """
        words: list[tuple[int, str]] = []
        end = 0
        for samples, dry in self._said:
            start = end + _lead(item[end:]) - _lead(samples)
            words += ((start + round(at * RATE / dry.rate_hz), word) for at, word in dry.words)
            end = start + len(samples)
        return tuple(words)


def _lead(samples: Samples) -> int:
    """Frames of silence at the beginning."""
    sounding = samples != 0
    return int(np.argmax(sounding)) if sounding.any() else 0
