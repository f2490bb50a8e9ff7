"""How figures and letters are said, one at a time: the tables of the services, and what a voice
must be given so that it says so.

The spellings were chosen by the phonemes that espeak-ng 1.52 makes of them in its English voices.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Literal, TypeAlias

from broadcaster.errors import SpeechError
from broadcaster.script.profiles import Language
from broadcaster.voice.other_languages import SPELLINGS

FiguresMode: TypeAlias = Literal["plain", "aeronautical"]


@dataclass(frozen=True, slots=True)
class Word:
    """A code word: as it is written, how the standard says it, and the spelling for a voice."""

    written: str
    said: str
    spelling: str


def _word(written: str, said: str, spelling: str = "") -> Word:
    return Word(written, said, spelling or written)


PLAIN: dict[str, Word] = {
    "0": _word("zero", "zero"),
    "1": _word("one", "one"),
    "2": _word("two", "two"),
    "3": _word("three", "three"),
    "4": _word("four", "four"),
    "5": _word("five", "five"),
    "6": _word("six", "six"),
    "7": _word("seven", "seven"),
    "8": _word("eight", "eight"),
    "9": _word("nine", "nine"),
    ".": _word("point", "point"),
}
"""Figures as usual."""

# ICAO Annex 10 Vol II, 5.2.1.4.3: figures and decimal point.
AERONAUTICAL: dict[str, Word] = {
    "0": _word("zero", "ZE-RO", "ze-ro"),
    "1": _word("one", "WUN", "wun"),
    "2": _word("two", "TOO", "too"),
    "3": _word("three", "TREE", "tree"),
    # Rhymes with flower. Read as in ROW ME OH (`fohwer`), a recogniser took it for 0 or 2.
    "4": _word("four", "FOW-er", "fower"),
    "5": _word("five", "FIFE", "fife"),
    "6": _word("six", "SIX", "six"),
    "7": _word("seven", "SEV-en", "seven"),
    "8": _word("eight", "AIT", "ait"),
    "9": _word("nine", "NIN-er", "niner"),
    ".": _word("decimal", "DAY-SEE-MAL", "day-see-mal"),
}
"""Figures as in aviation, hard to mistake for one another in noise. Measured at readability 4 in a
coast station's band: 85 % of the keeper's were copied, against 73 % of PLAIN."""

# ICAO Annex 10 Vol II, 5.2.1.3, Figure 5-1 (the same words in the Radio Regulations, Appendix 14).
# Words checked against several copies; how they are said, from memory.
ALPHABET: dict[str, Word] = {
    "A": _word("Alfa", "AL FAH"),
    "B": _word("Bravo", "BRAH VOH"),
    "C": _word("Charlie", "CHAR LEE"),
    "D": _word("Delta", "DELL TAH"),
    "E": _word("Echo", "ECK OH"),
    "F": _word("Foxtrot", "FOKS TROT"),
    "G": _word("Golf", "GOLF"),
    "H": _word("Hotel", "HOH TELL"),
    "I": _word("India", "IN DEE AH"),
    "J": _word("Juliett", "JEW LEE ETT"),
    "K": _word("Kilo", "KEY LOH"),
    "L": _word("Lima", "LEE MAH"),
    "M": _word("Mike", "MIKE"),
    "N": _word("November", "NO VEM BER"),
    "O": _word("Oscar", "OSS CAH"),
    "P": _word("Papa", "PAH PAH"),
    "Q": _word("Quebec", "KEH BECK", "kebeck"),
    "R": _word("Romeo", "ROW ME OH"),
    "S": _word("Sierra", "SEE AIR RAH"),
    "T": _word("Tango", "TANG GO"),
    "U": _word("Uniform", "YOU NEE FORM"),
    "V": _word("Victor", "VIK TAH"),
    "W": _word("Whiskey", "WISS KEY"),
    "X": _word("X-ray", "ECKS RAY"),
    "Y": _word("Yankee", "YANG KEY"),
    "Z": _word("Zulu", "ZOO LOO"),
}
"""The spelling alphabet."""

_ENGLISH: dict[FiguresMode, dict[str, str]] = {
    "plain": {character: word.spelling for character, word in (PLAIN | ALPHABET).items()},
    "aeronautical": {
        character: word.spelling for character, word in (AERONAUTICAL | ALPHABET).items()
    },
}


def figures_said(group: str, mode: FiguresMode, language: Language = "en") -> tuple[str, ...]:
    """What a voice is given for each figure of a group: `91` -> niner, wun.

    Letters are said by the language's spelling alphabet, a point as point or decimal. The mode is
    for English; other languages have one way. Raises SpeechError for any other character.
    """
    words = SPELLINGS.get(language) or _ENGLISH[mode]
    unknown = [character for character in group.upper() if character not in words]
    if unknown:
        raise SpeechError(
            group,
            f"`{unknown[0]}` cannot be read singly; the figures, the letters A to Z and the "
            "point can.",
        )
    return tuple(words[character] for character in group.upper())


def spelled(text: str, mode: FiguresMode, language: Language = "en") -> tuple[tuple[str, ...], ...]:
    """What a voice is given for each letter and figure of each word of a text.

    White space, commas and hyphens part words. Raises SpeechError as figures_said(), and for a
    text without a letter or figure.
    """
    words = tuple(figures_said(word, mode, language) for word in groups_in(text))
    if not words:
        raise SpeechError(text, "there is no letter or figure in it to read singly.")
    return words


def plain_words(language: Language) -> Mapping[str, str]:
    """Each figure, letter and the point, with the word that says it as it is written."""
    english = {character: word.written for character, word in (PLAIN | ALPHABET).items()}
    return SPELLINGS.get(language, english)


def groups_in(text: str) -> tuple[str, ...]:
    """The groups or words of a text that is read singly."""
    return tuple(word for word in re.split(r"[\s,-]+", text) if word)
