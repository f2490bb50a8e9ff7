"""The engine `neural`: a voice file of the writer's own, spoken by piper-tts.

piper-tts is the package's extra `neural`. It carries an espeak of its own for its phonemes, which
must not share a process with the bundled one: each utterance has a fresh process, some 0.6 s.
Without its two kinds of noise it says the same words in the same bits.
"""

import functools
import hashlib
import importlib.metadata
import importlib.util
from pathlib import Path

import numpy as np

from broadcaster.errors import SpeechError
from broadcaster.voice.engine import DrySpeech
from broadcaster.voice.utterance import Utterance

LONGEST_PIECE = 240
"""Characters given to the voice at once. Its memory grows with the square of them: measured, 1,360
took 1.6 GB, and 4,048 took 10 GB and 52 s."""
_USUAL_RATE = 200
"""Words a minute that count as a voice file's own pace. The one measured said figures at 213."""


class Neural:
    """The engine `neural`; the name of its voice is the path of the voice file."""

    needs_fresh_process = True

    def version(self, voice: str) -> str:
        """The library's version and a digest of the voice file."""
        if importlib.util.find_spec("piper") is None:
            raise SpeechError(
                "",
                "`engine: neural` needs piper-tts: pip install 'room-broadcaster[neural]'.",
            )
        path = Path(voice)
        try:
            modified = path.stat().st_mtime_ns
            digest = _digest(path, modified)
        except OSError as error:
            raise SpeechError("", f"the voice file {voice}: {error.strerror}.") from error
        return f"piper-tts {importlib.metadata.version('piper-tts')} {digest}"

    def say(self, utterance: Utterance) -> DrySpeech:
        """Speak; 16 bits, at the voice's own rate. In a process without another espeak."""
        from piper import PiperVoice, SynthesisConfig

        voice = PiperVoice.load(utterance.engine_voice)
        config = SynthesisConfig(
            length_scale=_USUAL_RATE / utterance.rate, noise_scale=0.0, noise_w_scale=0.0
        )
        spoken = [
            chunk.audio_int16_array
            for piece in pieces(utterance.text)
            for chunk in voice.synthesize(piece, config)
        ]
        pcm = np.concatenate(spoken) if spoken else np.zeros(0, np.int16)
        return DrySpeech(pcm.astype(np.int16), voice.config.sample_rate)


def pieces(text: str) -> list[str]:
    """A text cut into pieces of LONGEST_PIECE characters at most: after a mark, or between words.

    Words are no longer than that: utterance.clean() has broken them.
    """
    found: list[str] = []
    rest = text
    while len(rest) > LONGEST_PIECE:
        window = rest[: LONGEST_PIECE + 1]
        marks = [place + 1 for place, sign in enumerate(window[:-1]) if sign in ".,;:!?"]
        marks = [place for place in marks if rest[place] == " "]
        cut = marks[-1] if marks else window.rfind(" ")
        found.append(rest[:cut].strip())
        rest = rest[cut:].strip()
    return [*found, rest]


@functools.cache
def _digest(path: Path, modified_ns: int) -> str:
    del modified_ns  # a voice file that has changed is read again
    with path.open("rb") as file:
        return hashlib.file_digest(file, "sha256").hexdigest()[:16]
