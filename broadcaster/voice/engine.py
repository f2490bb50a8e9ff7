"""What a speech engine is, and what whoever needs words spoken may ask for."""

from dataclasses import dataclass
from typing import Protocol

import numpy as np
from numpy.typing import NDArray

from broadcaster.units import Samples
from broadcaster.voice.utterance import Utterance


@dataclass(frozen=True, slots=True, eq=False)
class DrySpeech:
    """Speech as an engine gives it: shape (frames,), int16, mono, at the engine's own rate."""

    pcm: NDArray[np.int16]
    rate_hz: int
    words: tuple[tuple[int, str], ...] = ()
    """Each word with the frame, at this rate, on which it begins; empty where no engine tells."""


class Engine(Protocol):
    """Makes speech. Asked in two kinds of process, which must not be mixed."""

    needs_fresh_process: bool
    """Whether a fork of a process that may have loaded another engine will not do."""

    def version(self, voice: str) -> str:
        """What speech of a voice depends on besides the utterance; part of the cache's key.

        Asked in the process that starts the speaking ones, before it starts any: what is loaded
        here is there already in a forked child. Raises SpeechError if the engine cannot be loaded.
        """

    def say(self, utterance: Utterance) -> DrySpeech:
        """Once in the life of a process: what it said before would change the sound.

        Raises SpeechError: the voice is unknown, or the engine refused.
        """


class Announcer(Protocol):
    """Whoever turns an utterance into sound: a Speaker, or a stand-in for one."""

    def speak(self, utterance: Utterance) -> Samples:
        """The samples of an utterance; the same for the same utterance. Raises SpeechError."""
