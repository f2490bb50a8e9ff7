"""Speech that was made before, kept as sound files that anyone can play.

Speech is a function of its utterance and the engine's version, so losing the cache, or any file
of it, costs time and changes nothing.
"""

import hashlib
import io
import json
import os
import re
import tempfile
import wave
from dataclasses import asdict
from pathlib import Path

import numpy as np

from broadcaster.voice.engine import DrySpeech
from broadcaster.voice.utterance import Utterance

_FORMAT = 2
"""Counts up when the files, or how an utterance is said, change in a way the key does not show."""
_WORDS = b"word"
"""Name of a RIFF chunk that players skip: JSON, each word with the frame on which it begins."""
_SEAL = b"seal" + (32).to_bytes(4, "little")
"""Head of a RIFF chunk that players skip: the SHA-256 of all before it."""
_WAV_HEAD = 44
"""Bytes before the frames, as the wave module writes them."""


class SpeechCache:
    """A folder of WAV files: 16 bits, mono, at the engine's rate, one an utterance.

    Never raises for a file that cannot be read or written: an unreadable or damaged file counts
    as absent, and is written anew. The first time that writing fails, `trouble` says so in a
    sentence, for whoever tells the operator; nothing is written from then on.
    """

    def __init__(self, folder: Path) -> None:
        self._folder = folder
        self.trouble: str | None = None

    def get(self, utterance: Utterance, engine_version: str) -> DrySpeech | None:
        """What was put there; None if there is no whole and sound file of it."""
        try:
            content = self._path(utterance, engine_version).read_bytes()
        except OSError:
            return None
        return _unsealed(content)

    def put(self, utterance: Utterance, engine_version: str, dry: DrySpeech) -> None:
        """Keep it. The file appears whole or not at all."""
        if self.trouble:
            return
        path = self._path(utterance, engine_version)
        try:
            self._folder.mkdir(parents=True, exist_ok=True)
            write_at_once(path, _sealed(dry))
        except OSError as error:
            self.trouble = (
                f"Speech cannot be kept in {self._folder} ({error.strerror}); "
                "every announcement is spoken anew."
            )

    def _path(self, utterance: Utterance, engine_version: str) -> Path:
        key = json.dumps([_FORMAT, engine_version, asdict(utterance)], sort_keys=True)
        first_words = re.sub(r"[^a-z0-9]+", "-", utterance.text.lower())[:40].strip("-")
        name = hashlib.sha256(key.encode()).hexdigest()[:32]
        return self._folder / f"{first_words or 'signs'}-{name}.wav"


def _sealed(dry: DrySpeech) -> bytes:
    file = io.BytesIO()
    with wave.open(file, "wb") as writer:
        writer.setnchannels(1)
        writer.setsampwidth(2)
        writer.setframerate(dry.rate_hz)
        writer.writeframes(dry.pcm.astype("<i2").tobytes())
    content = bytearray(file.getvalue())
    words = json.dumps(dry.words).encode()
    words += b" " * (len(words) % 2)  # a chunk is of even length
    content += _WORDS + len(words).to_bytes(4, "little") + words
    content[4:8] = (len(content) - 8 + len(_SEAL) + 32).to_bytes(4, "little")  # RIFF's own size
    return bytes(content) + _SEAL + hashlib.sha256(content).digest()


def _unsealed(content: bytes) -> DrySpeech | None:
    body, seal = content[: -len(_SEAL) - 32], content[-len(_SEAL) - 32 :]
    if seal != _SEAL + hashlib.sha256(body).digest():
        return None
    with wave.open(io.BytesIO(body), "rb") as reader:
        pcm = np.frombuffer(reader.readframes(reader.getnframes()), "<i2")
        behind = _WAV_HEAD + 2 * reader.getnframes() + len(_WORDS) + 4
        words = tuple((at, word) for at, word in json.loads(body[behind:]))
        return DrySpeech(pcm.astype(np.int16), reader.getframerate(), words)


def write_at_once(path: Path, content: bytes) -> None:
    """Write beside the path, then rename; what stood there before stays until then."""
    with tempfile.NamedTemporaryFile(dir=path.parent, suffix=".part", delete=False) as part:
        try:
            part.write(content)
            part.close()
            os.replace(part.name, path)
        except OSError:
            Path(part.name).unlink(missing_ok=True)
            raise
