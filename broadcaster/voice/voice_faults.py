"""Voices that cannot speak at all: each is asked for one word."""

from collections.abc import Iterator
from dataclasses import dataclass

from broadcaster.errors import SpeechError
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import Programme
from broadcaster.story.words import yes_or_no
from broadcaster.voice.child import speak_in_child
from broadcaster.voice.synthesisers import SYNTHESISERS
from broadcaster.voice.utterance import Utterance

_TIME_LIMIT_S = 30.0


@dataclass(frozen=True, slots=True)
class VoiceFault:
    """A voice that cannot speak, and why, in a sentence."""

    voice: str
    engine: str
    """Who was to speak."""
    key: str
    """What is to be mended in the voice's file."""
    reason: str


def voice_faults(programme: Programme) -> Iterator[VoiceFault]:
    """Every voice of a programme that its engine, or the one it falls back on, cannot speak with.

    Each is tried in a process of its own, some 20 ms with the engine that ships.
    """
    tried: dict[tuple[str, str], str] = {}
    for name, profile in programme.cast.items():
        engine, voice, key = _asked(profile)
        if engine not in SYNTHESISERS:
            continue
        if (engine, voice) not in tried:
            tried[engine, voice] = _trouble(engine, voice, profile)
        if reason := tried[engine, voice]:
            yield VoiceFault(name, engine, key, reason)


def _asked(profile: VoiceProfile) -> tuple[str, str, str]:
    """Who says what nobody recorded: the engine, its name for the voice, and the key for that."""
    if profile.engine == "neural":
        return profile.engine, profile.voice_file or "", "voice file"
    if profile.engine == "bank":
        return profile.fallback or "bank", profile.engine_voice, "fallback"
    return profile.engine, profile.engine_voice, "engine voice"


def _trouble(name: str, voice: str, profile: VoiceProfile) -> str:
    engine = SYNTHESISERS[name]
    word = yes_or_no(True, profile.language)
    utterance = Utterance(word, name, voice, profile.rate, profile.pitch, profile.pitch_range)
    try:
        engine.version(voice)
        spoken = speak_in_child(engine, utterance, _TIME_LIMIT_S)
    except SpeechError as error:
        return error.reason
    return "" if spoken.pcm.any() else "it says nothing."
