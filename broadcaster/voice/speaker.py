"""The speaker: utterance in, samples out; the same samples whatever was said before."""

from collections.abc import Mapping
from contextlib import AbstractContextManager
from dataclasses import replace
from types import TracebackType

import numpy as np

from broadcaster.errors import SpeechError
from broadcaster.units import Samples
from broadcaster.voice.cache import SpeechCache
from broadcaster.voice.child import START_METHOD, StartMethod, speak_in_child
from broadcaster.voice.engine import DrySpeech, Engine
from broadcaster.voice.finish import samples_of
from broadcaster.voice.recordings import Recordings
from broadcaster.voice.synthesisers import SYNTHESISERS
from broadcaster.voice.utterance import Utterance

ENGINES: Mapping[str, Engine] = {"bank": Recordings(), **SYNTHESISERS}

# A letter or figure lasts 12 s / rate on average: five to a word. Measured over 9 espeak voices,
# 5 rates and 64 texts chosen to be awkward (`eye`, `1,000,000,000`, `x`, foreign scripts), the
# speech lasted 0.40 to 20 times that, a single `!!!a!!!` and one Arabic ligature at the long end.
_LETTER_S_AT_1_WPM = 12.0
_SHORTEST_LETTER = 0.25
_LONGEST_SIGN = 40.0


class Speaker(AbstractContextManager["Speaker"]):
    """Speaks, one utterance at a time, each in a process of its own; see child.py.

    Belongs in a process without other threads that is no multiprocessing daemon: the speech
    worker. Speech is looked for in the cache first, and kept there; None for no cache.
    """

    def __init__(
        self,
        cache: SpeechCache | None,
        time_limit_s: float = 10.0,
        engines: Mapping[str, Engine] = ENGINES,
        start_method: StartMethod = START_METHOD,
    ) -> None:
        self._cache = cache
        self._time_limit_s = time_limit_s
        self._engines = engines
        self._start_method = start_method

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        """Nothing is left to end: no process lives longer than its utterance."""

    def speak(self, utterance: Utterance) -> Samples:
        """The samples of an utterance, shape (frames,), at least one; no silence after them.

        A pure function of the utterance and the engine's version. SPEECH_DBFS loud. Raises
        SpeechError with the reason: an unknown voice, a text that the voice passes over, a
        process that died or took longer than the limit, speech of an implausible length.
        """
        return samples_of(self.speak_dry(utterance))

    def speak_dry(self, utterance: Utterance) -> DrySpeech:
        """The same as the engine gives it, with the times of its words where that tells them."""
        engine = self._engines[utterance.engine]
        version = engine.version(utterance.engine_voice)
        dry = self._cache.get(utterance, version) if self._cache else None
        if dry is None:
            dry = speak_in_child(engine, utterance, self._time_limit_s, self._start_method)
            dry = _without_silent_tail(dry)
            _check(utterance, dry)
            if self._cache:
                self._cache.put(utterance, version, dry)
        return dry


def _without_silent_tail(dry: DrySpeech) -> DrySpeech:
    """espeak ends with exact zeros, 10 to 900 ms by text and rate; pauses are ours to make."""
    sounding = np.flatnonzero(dry.pcm)
    return replace(dry, pcm=dry.pcm[: sounding[-1] + 1 if sounding.size else 0])


def _check(utterance: Utterance, dry: DrySpeech) -> None:
    """Raise SpeechError if this cannot be the whole utterance, and nothing but it."""
    if not dry.pcm.size:
        raise SpeechError(
            utterance.text, f"the voice {utterance.engine_voice} passes over it in silence."
        )
    letter_s = _LETTER_S_AT_1_WPM / utterance.rate
    letters = sum(character.isalnum() for character in utterance.text)
    least_s = _SHORTEST_LETTER * letter_s * letters
    most_s = _LONGEST_SIGN * letter_s * len(utterance.text)
    length_s = dry.pcm.size / dry.rate_hz
    if not least_s <= length_s <= most_s:
        raise SpeechError(
            utterance.text,
            f"the voice took {length_s:.2f} s; at {utterance.rate} words a minute it should take "
            f"{least_s:.2f} to {most_s:.2f} s.",
        )
