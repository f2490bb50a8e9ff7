"""Recorded banks: a folder of clips, each named by what is said in it, and a sheet about them."""

import re
import unicodedata
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property
from pathlib import Path

from broadcaster.script.profiles import BankSheet
from broadcaster.script.reading import read_form
from broadcaster.script.voice_profiles import BANK_SHEET
from broadcaster.voice.figures import plain_words
from broadcaster.voice.sound_file import SUFFIXES

_TOKEN = re.compile(r"\d+(?:[.,]\d+)?|[^\W\d_]+(?:'[^\W\d_]+)*|\S")
_COMMAS = frozenset(",;:–—")
_UNSAID = frozenset(".!?…\"'“”‘()[]-")
"""Signs that a reader does not say, and that are no pause within a sentence."""


@dataclass(frozen=True, slots=True)
class Piece:
    """A part of a text that one clip says."""

    words: str
    """As the clip is named, or as they stand in the text if there is no clip."""
    clip: Path | None
    """None for what the bank lacks."""
    after_comma: bool


@dataclass(frozen=True)
class Bank:
    """The clips of one folder by their names; nothing of them has been read."""

    folder: Path
    sheet: BankSheet
    files: Mapping[str, tuple[Path, ...]]
    """Every sound file by its name in small letters; more than one where only suffixes differ."""

    @cached_property
    def clips(self) -> Mapping[str, Path]:
        """What there is a clip for. A figure, and the word for it, may use the same."""
        clips = {name: paths[0] for name, paths in self.files.items()}
        for character, word in plain_words(self.sheet.language).items():
            if not character.isalpha():
                for one, other in ((character, _name(word)), (_name(word), character)):
                    if one in self.files:
                        clips.setdefault(other, self.files[one][0])
        return clips

    def says_singly(self, character: str) -> Path | None:
        """The clip for a figure or letter that is read by itself; a letter's by its code word."""
        word = plain_words(self.sheet.language).get(character.upper(), character)
        return self.clips.get(character.lower()) or self.clips.get(_name(word))

    def pieces(self, text: str) -> tuple[Piece, ...]:
        """The text as clips, in order, as few as can be; a word without a clip is a piece too."""
        if len(text.strip()) == 1 and (clip := self.says_singly(text.strip())):
            return (Piece(text.strip().lower(), clip, after_comma=False),)
        words: list[str] = []
        commas: set[int] = set()
        for token in _TOKEN.findall(_folded(text)):
            if token in _COMMAS:
                commas.add(len(words))
            elif token not in _UNSAID:
                words.extend(self._singly_if_unknown(token))
        return tuple(
            Piece(name, self.clips.get(name), after_comma=bool(start and start in commas))
            for start, name in self._fewest(words)
        )

    def lacks(self, text: str) -> tuple[str, ...]:
        """The words of a text for which there is no clip, each once."""
        lacking = [piece.words for piece in self.pieces(text) if piece.clip is None]
        return tuple(dict.fromkeys(lacking))

    def _singly_if_unknown(self, token: str) -> Sequence[str]:
        """A number that has no clip of its own is read figure by figure."""
        return token if token[0].isdecimal() and token not in self.clips else (token,)

    def _fewest(self, words: Sequence[str]) -> list[tuple[int, str]]:
        """The words as names of clips, with where each begins: the fewest that lack the least."""
        best: list[tuple[int, int, int]] = [(0, 0, 0)]  # lacking, clips, begin: up to each word
        longest = max((len(name.split()) for name in self.clips), default=1)
        for end in range(1, len(words) + 1):
            ways = [(best[end - 1][0] + 1, best[end - 1][1], end - 1)]
            ways += [
                (best[begin][0], best[begin][1] + 1, begin)
                for begin in range(max(0, end - longest), end)
                if " ".join(words[begin:end]) in self.clips
            ]
            best.append(min(ways))
        found: list[tuple[int, str]] = []
        end = len(words)
        while end:
            begin = best[end][2]
            found.append((begin, " ".join(words[begin:end])))
            end = begin
        return found[::-1]


def read_bank(folder: Path) -> Bank:
    """The bank in a folder. Raises UsageError if it has no sheet, ScriptError for faults in it."""
    sheet = read_form(folder / BANK_SHEET, BankSheet)
    files: dict[str, tuple[Path, ...]] = {}
    for path in sorted(folder.iterdir()):
        if path.suffix.lower() in SUFFIXES:
            name = _name(path.stem)
            files[name] = (*files.get(name, ()), path)
    return Bank(folder, sheet, files)


def _name(text: str) -> str:
    """A clip's name: its words in small letters, a space between them."""
    return " ".join(re.split(r"[\s_-]+", _folded(text).strip()))


def _folded(text: str) -> str:
    return unicodedata.normalize("NFC", text).lower().replace("’", "'")
