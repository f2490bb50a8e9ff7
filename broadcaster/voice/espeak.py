"""The bundled espeak-ng, spoken to through pyttsx3's low-level binding in synchronous mode.

The only file that knows the binding. pyttsx3's public engine drives the same library
asynchronously and cancels what is still queued: measured over 2,000 utterances, 13 to 23 % came
out wrong, with no error. In synchronous mode 6,000 of 6,000 were right.
"""

import ctypes
import difflib
import functools
import importlib
import itertools
import types
from pathlib import Path
from typing import Any

import espeakng_loader
import numpy as np

from broadcaster.errors import SpeechError
from broadcaster.voice.engine import DrySpeech
from broadcaster.voice.utterance import Utterance

_BUFFER_MS = 100
_INITIALIZE_DONT_EXIT = 0x8000  # espeak/speak_lib.h; without it a failure ends the process
_LONGEST_DATA_PATH = 159  # bytes; espeak keeps the path in a field of 160 and cuts what is longer
_VOLUME = 50  # of 100; at 100 the loudest variants are limited inside espeak. Levelled afterwards.
_NOISE_SEED = 1958


class Espeak:
    """The engine `espeak`: libespeak-ng and its data, both from the package espeakng-loader."""

    needs_fresh_process = False

    def version(self, voice: str) -> str:
        """The library's own version. Loads the library and the names of its voices: 30 ms."""
        del voice
        binding, _ = _library()
        list_engine_voices()
        list_engine_variants()
        return f"espeak-ng {binding.Info(None).decode()}"

    def say(self, utterance: Utterance) -> DrySpeech:
        """Speak; 16 bits, 22,050 Hz. Once in the life of a process, see Engine."""
        binding, rate_hz = _library()
        _check_voice(utterance)
        pieces: list[bytes] = []
        starts: dict[int, tuple[int, int]] = {}
        """For the place of each word in the text its length there, and when it begins."""

        def take(wave: object, frames: int, events: Any) -> int:  # noqa: ANN401  a C array
            if wave and frames > 0:
                pieces.append(ctypes.string_at(wave, 2 * frames))  # type: ignore[arg-type]
            for event in itertools.takewhile(lambda event: event.type, events):
                if event.type == binding.EVENT_WORD:
                    starts.setdefault(event.text_position - 1, (event.length, event.audio_position))
            return 0

        binding.SetSynthCallback(take)
        results = (
            binding.SetVoiceByName(utterance.engine_voice.encode()),
            binding.SetParameter(binding.RATE, utterance.rate, 0),
            binding.SetParameter(binding.PITCH, utterance.pitch, 0),
            binding.SetParameter(binding.RANGE, utterance.pitch_range, 0),
            binding.SetParameter(binding.VOLUME, _VOLUME, 0),
            binding.Synth(utterance.text, flags=binding.CHARS_UTF8),
            binding.Synchronize(),
        )
        if any(results):
            raise SpeechError(utterance.text, f"espeak-ng refused it (codes {results}).")
        words = _words(utterance.text, starts, rate_hz)
        return DrySpeech(np.frombuffer(b"".join(pieces), np.int16), rate_hz, words)


def _words(
    text: str, starts: dict[int, tuple[int, int]], rate_hz: int
) -> tuple[tuple[int, str], ...]:
    """Words and their frames. Of a number, espeak tells each part's place: the first is enough."""
    words: list[tuple[int, str]] = []
    end = 0
    for place, (length, at_ms) in sorted(starts.items()):
        if place >= end:
            end = place + length
            words.append((at_ms * rate_hz // 1000, text[place:end]))
    return tuple(words)


@functools.cache
def list_engine_voices() -> tuple[str, ...]:
    """Every voice of the engine `espeak` by its name, without variants: `gmw/en-GB-x-rp`."""
    languages = Path(espeakng_loader.get_data_path()) / "lang"
    return tuple(
        sorted(
            path.relative_to(languages).as_posix()
            for path in languages.rglob("*")
            if path.is_file()
        )
    )


@functools.cache
def list_engine_variants() -> tuple[str, ...]:
    """Every variant that may follow a voice's name after a plus sign: `m3`."""
    variants = Path(espeakng_loader.get_data_path()) / "voices" / "!v"
    return tuple(sorted(path.name for path in variants.iterdir()))


def _check_voice(utterance: Utterance) -> None:
    """Espeak takes an unknown variant for none, and keeps the voice before an unknown one."""
    voice, plus, variant = utterance.engine_voice.partition("+")
    voices, variants = list_engine_voices(), list_engine_variants()
    if voice not in voices:
        near = _nearest(voice, voices)
        raise SpeechError(utterance.text, f"espeak-ng has no voice {voice!r}. Near it: {near}.")
    if plus and variant not in variants:
        near = _nearest(variant, variants)
        raise SpeechError(utterance.text, f"espeak-ng has no variant {variant!r}. Near it: {near}.")


def _nearest(name: str, known: tuple[str, ...]) -> str:
    folded = {each.casefold(): each for each in known}
    close = difflib.get_close_matches(name.casefold(), folded, n=3, cutoff=0.0)
    return ", ".join(folded[each] for each in close)


@functools.cache
def _library() -> tuple[types.ModuleType, int]:
    """pyttsx3's binding to the initialised library, and the rate of its speech in hertz."""
    data_path = espeakng_loader.get_data_path()
    if len(data_path.encode()) > _LONGEST_DATA_PATH:
        raise SpeechError(
            "",
            f"espeak-ng cannot read its data at {data_path}: the path is longer than "
            f"{_LONGEST_DATA_PATH} bytes. Install broadcaster in a folder with a shorter path.",
        )
    # RTLD_LOCAL: with its symbols shared, another espeak in the same process crashes.
    library = ctypes.CDLL(espeakng_loader.get_library_path(), ctypes.RTLD_LOCAL)
    binding = _binding_to(library)
    rate_hz = binding.Initialize(
        binding.AUDIO_OUTPUT_SYNCHRONOUS, _BUFFER_MS, data_path.encode(), _INITIALIZE_DONT_EXIT
    )
    if rate_hz <= 0:
        raise SpeechError("", f"espeak-ng could not read its data at {data_path}.")
    # Breath and whisper are noise; Initialize seeds it with the time of day.
    library.espeak_ng_SetRandSeed(ctypes.c_long(_NOISE_SEED))
    return binding, rate_hz


def _binding_to(library: ctypes.CDLL) -> types.ModuleType:
    """pyttsx3's binding. When imported it looks for a system's espeak; it is given ours."""
    ctypes.cdll.LoadLibrary = lambda _path: library  # type: ignore[assignment,method-assign]
    try:
        return importlib.import_module("pyttsx3.drivers._espeak")
    finally:
        del ctypes.cdll.LoadLibrary
