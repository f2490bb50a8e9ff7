"""The system's own voices, as far as it can be tried without them: what came back is checked."""

import sys
import wave
from pathlib import Path

import pytest

from broadcaster.errors import SpeechError
from broadcaster.voice import system
from broadcaster.voice.system import SystemVoices
from broadcaster.voice.utterance import Utterance


def utterance(engine_voice=""):
    """An utterance of the system's usual voice."""
    return Utterance("The lamp is lit.", "system", engine_voice, 150, 50, 50)


class Library:
    """Stands in for pyttsx3's engine: knows one voice and writes what a test wants."""

    def __init__(self, write):
        self.id = "the only voice"
        self.set = {}
        self._write = write

    def getProperty(self, name):  # noqa: N802 (the library's name)
        """Its voices."""
        return [self] if name == "voices" else None

    def setProperty(self, name, value):  # noqa: N802 (the library's name)
        """Remember the setting."""
        self.set[name] = value

    def save_to_file(self, text, path):
        """Write."""
        self._write(path)

    def runAndWait(self):  # noqa: N802 (the library's name)
        """Nothing is left to do."""


@pytest.fixture
def on_this_system(monkeypatch):
    """Lets a test say what the system's voice writes."""

    def install(write):
        library = Library(write)
        monkeypatch.setitem(system._DRIVERS, sys.platform, "stand-in")
        monkeypatch.setattr("pyttsx3.init", lambda driver: library)
        return library

    return install


def wav(path, channels=1):
    """A file of 3 frames."""
    with wave.open(path, "wb") as writer:
        writer.setnchannels(channels)
        writer.setsampwidth(2)
        writer.setframerate(16_000)
        writer.writeframes(bytes(range(6)) * channels)


@pytest.mark.skipif(sys.platform in system._DRIVERS, reason="this system has voices of its own")
def test_a_system_without_voices():
    """Where the system has none, the error says which engine there is instead."""
    with pytest.raises(SpeechError, match=r"no voices of its own.*`engine: espeak`"):
        SystemVoices().say(utterance())


def test_what_was_written_is_read(on_this_system):
    """Samples and rate are those of the file, and the rate was set."""
    library = on_this_system(wav)
    dry = SystemVoices().say(utterance("the only voice"))
    assert (dry.pcm.tobytes(), dry.rate_hz) == (bytes(range(6)), 16_000)
    assert library.set == {"voice": "the only voice", "rate": 150}


def test_unknown_voice(on_this_system):
    """A voice that the system does not have is an error that names those it has."""
    on_this_system(wav)
    with pytest.raises(SpeechError, match=r"no voice 'ghost'\. It has the only"):
        SystemVoices().say(utterance("ghost"))


@pytest.mark.parametrize(
    ("write", "reason"),
    [
        (lambda path: None, "wrote nothing"),
        (lambda path: Path(path).touch(), "wrote nothing"),
        (lambda path: Path(path).write_text("RIFF, but not sound"), "cannot be read"),
        (lambda path: wav(path, channels=2), "not 16-bit mono"),
    ],
    ids=["no file", "empty", "no sound file", "stereo"],
)
def test_what_cannot_be_right(on_this_system, write, reason):
    """A missing, empty or unreadable file is an error, never silence."""
    on_this_system(write)
    with pytest.raises(SpeechError, match=reason):
        SystemVoices().say(utterance())
