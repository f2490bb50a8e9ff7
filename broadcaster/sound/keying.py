"""Morse code in time: when the key is down for a message. No sound is made here.

Timing is that of Rec. ITU-R M.1677-1, Annex 1, Part I, 2: a dash is three dots, a letter's signals
are one dot apart, letters three, words seven.
"""

from collections.abc import Iterator
from dataclasses import dataclass
from itertools import pairwise

from broadcaster.script.alphabets import MorseSymbol, morse_symbols
from broadcaster.units import frames_from_seconds

_UNITS = {".": 1, "-": 3}
_LETTER_GAP, _WORD_GAP = 3, 7
_PARIS_S = 60.0  # one word a minute
# The word PARIS and the gap after it: 50 units, of which 19 are gaps between letters and words.
_PARIS_UNITS, _PARIS_GAP_UNITS = 50, 19


@dataclass(frozen=True, slots=True)
class Mark:
    """One time that the key is down: from which frame on, for how many."""

    start_frame: int
    frames: int

    @property
    def end_frame(self) -> int:
        """The first frame at which the key is up again."""
        return self.start_frame + self.frames


@dataclass(frozen=True, slots=True)
class Keying:
    """A keyed message: its marks in their order, and its length with the word gap that ends it."""

    marks: tuple[Mark, ...]
    frames: int
    symbols: tuple[Mark, ...] = ()
    """From each symbol's first mark to its last, as if the key stayed down."""


@dataclass(frozen=True, slots=True)
class Pace:
    """How long one unit lasts, in seconds: within characters, and between them."""

    unit_s: float
    gap_unit_s: float


def pace(speed_wpm: float, spacing_wpm: float | None = None) -> Pace:
    """The units for a speed of characters and, if slower, an overall speed (Farnsworth).

    By the word PARIS a unit is 1.2 / wpm seconds. With an overall speed, the 19 gap units of PARIS
    take up what its 31 others leave of the word's time: ta = (60 c - 37.2 s) / (s c) seconds, a
    letter gap 3 ta / 19 and a word gap 7 ta / 19 (J. Bloom, "A Standard for Morse Timing Using the
    Farnsworth Technique", ARRL 1990). An overall speed above that of the characters changes
    nothing.
    """
    unit_s = _PARIS_S / (_PARIS_UNITS * speed_wpm)
    if spacing_wpm is None or spacing_wpm >= speed_wpm:
        return Pace(unit_s, unit_s)
    word_s = _PARIS_S / spacing_wpm
    left_s = word_s - (_PARIS_UNITS - _PARIS_GAP_UNITS) * unit_s
    return Pace(unit_s, left_s / _PARIS_GAP_UNITS)


def keying(text: str, speed_wpm: float, spacing_wpm: float | None = None) -> Keying:
    """When the key is down for a message, and how long the message lasts.

    Each border is placed by the count of units before it and rounded once, so that no error adds
    up: it lies within half a frame of where it belongs, however long the message. Raises
    UnreadableError where the text has what Morse code has not.
    """
    units = pace(speed_wpm, spacing_wpm)
    marks: list[Mark] = []
    symbols: list[Mark] = []
    inside = between = 0  # units so far, within characters and between them
    for word in morse_symbols(text):
        for symbol in word:
            begins = len(marks)
            for down, up in _elements(symbol):
                start = _frame(units, inside, between)
                inside += down
                marks.append(Mark(start, _frame(units, inside, between) - start))
                inside += up
            first_frame = marks[begins].start_frame
            symbols.append(Mark(first_frame, marks[-1].end_frame - first_frame))
            between += _LETTER_GAP
        between += _WORD_GAP - _LETTER_GAP
    return Keying(tuple(marks), _frame(units, inside, between), tuple(symbols))


def _elements(symbol: MorseSymbol) -> Iterator[tuple[int, int]]:
    """Units down and up of each dot or dash; after the last one none up."""
    for signal, after in pairwise(symbol.code + " "):
        yield _UNITS[signal], 0 if after == " " else 1


def _frame(units: Pace, inside: int, between: int) -> int:
    return frames_from_seconds(inside * units.unit_s + between * units.gap_unit_s)
