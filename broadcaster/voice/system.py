"""The operating system's own voices: SAPI 5 on Windows, NSSpeech on macOS, through pyttsx3.

Written from the documentation and pyttsx3's source, and not tried on either system yet. What is
known: these voices have no pitch; pyttsx3 swallows an unknown voice, so its name is checked here;
macOS writes AIFF, which its own converter turns into WAV. What is not known: whether they say
the same words in the same bits. Once spoken, the cache keeps them the same.
"""

import platform
import subprocess
import sys
import tempfile
import wave
from pathlib import Path

import numpy as np

from broadcaster.errors import SpeechError
from broadcaster.voice.engine import DrySpeech
from broadcaster.voice.utterance import Utterance

_DRIVERS = {"win32": "sapi5", "darwin": "nsss"}


class SystemVoices:
    """The engine `system`; an empty voice name is the system's usual voice."""

    needs_fresh_process = False

    def version(self, voice: str) -> str:
        """The system and its version: its voices come with it."""
        del voice
        return f"{platform.system()} {platform.version()}"

    def say(self, utterance: Utterance) -> DrySpeech:
        """Speak into a file and read it; 16 bits, at the voice's own rate."""
        driver = _DRIVERS.get(sys.platform)
        if driver is None:
            raise SpeechError(
                utterance.text,
                f"{platform.system()} has no voices of its own for `engine: system`; "
                "the voice profile can say `engine: espeak`.",
            )
        with tempfile.TemporaryDirectory() as folder:
            spoken = Path(folder) / "spoken"
            _save(utterance, driver, spoken)
            if not spoken.exists() or not spoken.stat().st_size:
                raise SpeechError(utterance.text, "the system's voice wrote nothing.")
            try:
                return _read(_as_wav(spoken) if sys.platform == "darwin" else spoken)
            except (OSError, EOFError, subprocess.SubprocessError, ValueError, wave.Error) as error:
                reason = f"what the system's voice wrote cannot be read ({error})."
                raise SpeechError(utterance.text, reason) from error


def _save(utterance: Utterance, driver: str, path: Path) -> None:
    import pyttsx3

    engine = pyttsx3.init(driver)
    if utterance.engine_voice:
        known = [voice.id for voice in engine.getProperty("voices")]
        if utterance.engine_voice not in known:
            raise SpeechError(
                utterance.text,
                f"the system has no voice {utterance.engine_voice!r}. It has {', '.join(known)}.",
            )
        engine.setProperty("voice", utterance.engine_voice)
    engine.setProperty("rate", utterance.rate)
    engine.save_to_file(utterance.text, str(path))
    engine.runAndWait()


def _as_wav(path: Path) -> Path:
    converted = path.with_suffix(".wav")
    subprocess.run(
        ["/usr/bin/afconvert", "-f", "WAVE", "-d", "LEI16@22050", "-c", "1", path, converted],
        check=True,
    )
    return converted


def _read(path: Path) -> DrySpeech:
    with wave.open(str(path), "rb") as reader:
        if (reader.getnchannels(), reader.getsampwidth()) != (1, 2):
            raise ValueError("not 16-bit mono")
        pcm = np.frombuffer(reader.readframes(reader.getnframes()), "<i2").astype(np.int16)
        return DrySpeech(pcm, reader.getframerate())
