"""An utterance: everything that the sound of a few spoken words depends on, and nothing else."""

import re
import unicodedata
from dataclasses import dataclass
from pathlib import Path

from broadcaster.errors import SpeechError
from broadcaster.script.profiles import VoiceProfile
from broadcaster.voice.bank import read_bank

_JOINERS = "\u200c\u200d"
"""Invisible, but scripts and emoji are read differently with them."""
_LONG_WORD = re.compile(r"\S{40}(?=\S)")
_REPEATED = re.compile(r"(?<!\S)(\S)(?: \1){3,}(?!\w)")


@dataclass(frozen=True, slots=True)
class Utterance:
    """The key of a piece of speech: two equal utterances are the same samples, bit for bit."""

    text: str
    """Clean, with something in it that can be said; see clean()."""
    engine: str
    """`espeak`, `system`, `bank` or `neural`."""
    engine_voice: str
    """The engine's own name for the voice; the folder of a bank, the file of a neural voice."""
    rate: int
    """Words a minute."""
    pitch: int
    """0 to 99."""
    pitch_range: int
    """0 (flat) to 99."""


def utterance_of(text: str, profile: VoiceProfile, rate: int | None = None) -> Utterance:
    """What a profile's voice says for a text; rate instead of the profile's own, if given.

    Raises SpeechError if the text holds nothing that can be said.
    """
    cleaned = clean(text)
    if not is_speakable(cleaned):
        raise SpeechError(text, "there is no letter, figure or sign in it that a voice could say.")
    engine, voice = _engine_for(cleaned, profile)
    return Utterance(
        text=cleaned,
        engine=engine,
        engine_voice=voice,
        rate=profile.rate if rate is None else rate,
        pitch=profile.pitch,
        pitch_range=profile.pitch_range,
    )


def _engine_for(text: str, profile: VoiceProfile) -> tuple[str, str]:
    """Who says a text, and the engine's name for the voice."""
    if profile.engine == "neural" and profile.voice_file:
        return profile.engine, profile.voice_file
    if profile.engine == "bank" and profile.bank:
        if profile.fallback and read_bank(Path(profile.bank)).lacks(text):
            return profile.fallback, profile.engine_voice
        return profile.engine, profile.bank
    return profile.engine, profile.engine_voice


def clean(text: str) -> str:
    """The text without what harms an engine or is passed over by it in silence.

    Control characters become spaces: espeak takes \\x01 for the start of a command that changes
    its settings, and NUL for the end of the text. Lone surrogates, private and unassigned
    characters and invisible formatting go. Letters and figures in fancy dress (circled,
    full-width, mathematical, Roman numerals) become plain ones: espeak skips the first kinds.
    Accents are composed, runs of white space are one space.

    Where espeak was measured to lose words, signs go in that keep them: a space after 40
    characters of a word (it loses what comes after 128 bytes, or 40 figures), commas between
    four and more of one character (it says `X X X X` as three).
    """
    composed = unicodedata.normalize("NFC", text)
    spaced = " ".join("".join(map(_clean_character, composed)).split())
    broken = _LONG_WORD.sub(r"\g<0> ", spaced)
    return _REPEATED.sub(lambda found: found[0].replace(" ", ", "), broken)


def is_speakable(text: str) -> bool:
    """Whether a voice has something to say here: a letter, a figure or a sign such as `%`."""
    return any(unicodedata.category(character)[0] in "LNS" for character in text) or any(
        character in "%&@#*" for character in text
    )


def _clean_character(character: str) -> str:
    category = unicodedata.category(character)
    if category == "Cc":
        return " "
    if category[0] == "C":
        return character if character in _JOINERS else ""
    plain = unicodedata.normalize("NFKC", character)
    if plain.isascii() and plain.isalnum() and not _is_raised_or_lowered(character):
        return plain
    return character


def _is_raised_or_lowered(character: str) -> bool:
    """A square is not a two, nor 10 with a raised 2 a hundred and two."""
    return unicodedata.decomposition(character).startswith(("<super>", "<sub>"))
