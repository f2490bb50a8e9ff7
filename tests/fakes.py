"""Stand-ins that the tests of several rooms share."""

import hashlib

import numpy as np

from broadcaster.units import RATE, Samples
from broadcaster.voice.utterance import Utterance

FRAMES_PER_CHARACTER = RATE // 20


class FakeSpeaker:
    """Says an utterance as a tone: 50 ms a character, 0.1 of full scale, its pitch by the text.

    Never silent for a frame, the same for the same utterance, and it remembers what it said.
    """

    def __init__(self) -> None:
        self.said: list[Utterance] = []

    def speak(self, utterance: Utterance) -> Samples:
        """Shape (frames,): FRAMES_PER_CHARACTER for each character of the text."""
        self.said.append(utterance)
        tone_hz = 200 + hashlib.sha256(utterance.text.encode()).digest()[0]
        seconds = np.arange(FRAMES_PER_CHARACTER * len(utterance.text)) / RATE
        # A cosine and a little more: no frame is exactly 0.0.
        return (0.05 + 0.05001 * np.cos(2 * np.pi * tone_hz * seconds)).astype(np.float32)
