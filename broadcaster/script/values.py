"""How a written scalar becomes a value: each field converts the text that it is given.

Nothing is guessed from how a value looks. A converter takes text, or a value that already has the
right type, and raises UnreadableError with what was found and how to write it.
"""

import re
from collections.abc import Callable
from dataclasses import dataclass
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator

from broadcaster.errors import UnreadableError
from broadcaster.script.alphabets import (
    HIGHEST_OCTAVE,
    LOWEST_OCTAVE,
    REST,
    note_hertz,
)
from broadcaster.script.conditions import Expression, parse_condition
from broadcaster.script.durations import DURATION, seconds_of, written_seconds
from broadcaster.script.meant import not_an_amount
from broadcaster.script.names import clipped
from broadcaster.script.shapes import Shape
from broadcaster.script.template import IN_BRACES, Template, parse_template

NUMBER = r"[0-9]{1,9}(?:\.[0-9]{1,9})?"
"""A regular expression for a number, not negative."""
_FREQUENCY = re.compile(rf"({NUMBER})\s*(Hz|kHz|MHz)")
_LEVEL = re.compile(rf"([+-]?{NUMBER})\s*dB")
_SPEED = re.compile(rf"({NUMBER})\s*wpm")
_FACTOR = re.compile(NUMBER)
_WHOLE = re.compile(r"[0-9]{1,9}")
_ROUNDS = re.compile(r"([0-9]{1,9})\s*rounds?")
_HERTZ = {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6}

LOWEST_TONE_HERTZ = 20.0
"""Where hearing begins (common knowledge, no source)."""
HIGHEST_TONE_HERTZ = 15_000.0
"""What an FM sound broadcast carries (Rec. ITU-R BS.450)."""

LONGEST_TEXT = 5000
"""Characters in one spoken item: some six minutes."""


def seconds(value: object) -> float:
    """`4 s`, `250 ms`, `6 min`, `1 h 10 min`."""
    return _amount(value, seconds_of)


def hertz(value: object) -> float:
    """`650 Hz`, `4.5 kHz`, `91.3 MHz`."""
    return _amount(value, _hertz)


def _hertz(text: str) -> float:
    found = _FREQUENCY.fullmatch(text)
    if not found:
        raise not_an_amount(text, "a frequency", _hertz_meant_by(text), "650 Hz", "91.3 MHz")
    return float(found[1]) * _HERTZ[found[2]]


def _hertz_meant_by(text: str) -> tuple[str, ...]:
    """The units that may be meant: a bare `91.3` is where a station sends, a bare `650` a pitch."""
    number = re.match(r"[0-9]{1,9}", text)
    if re.search("[A-Za-z]", text):
        return tuple(_HERTZ)
    return ("MHz",) if number and 65 <= int(number[0]) <= 108 else ("Hz",)


def decibels(value: object) -> float:
    """`-6 dB`."""
    return _amount(value, _decibels)


def _decibels(text: str) -> float:
    found = _LEVEL.fullmatch(text)
    if not found:
        raise not_an_amount(text, "a level", ("dB",), "-6 dB", signed=True)
    return float(found[1])


def words_per_minute(value: object) -> float:
    """`6 wpm`."""
    return _amount(value, _words_per_minute)


def _words_per_minute(text: str) -> float:
    found = _SPEED.fullmatch(text)
    if not found:
        raise not_an_amount(text, "a speed", ("wpm",), "6 wpm")
    return float(found[1])


def factor(value: object) -> float:
    """`1.5`."""
    return _amount(value, _factor)


def _factor(text: str) -> float:
    if not _FACTOR.fullmatch(text):
        raise UnreadableError(f"{clipped(text)} is not a factor.", "Write it as `1.5`.")
    return float(text)


def _amount(value: object, read: Callable[[str], float]) -> float:
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    return read(_text(value))


def _text(value: object) -> str:
    if not isinstance(value, str):
        raise UnreadableError("A single value is wanted here.", "Write it on the key's own line.")
    return value.strip()


def whole(value: object) -> int:
    """A whole number, not negative: `3`."""
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    text = _text(value)
    if not _WHOLE.fullmatch(text):
        raise UnreadableError(
            f"{clipped(text)} is not a whole number.", "Write it in figures, such as `3`."
        )
    return int(text)


def yes_or_no(value: object) -> bool:
    """`yes` or `no`."""
    if isinstance(value, bool):
        return value
    text = _text(value)
    if not text:
        raise UnreadableError("Nothing stands here.", "Write `yes` or `no`.")
    if text not in ("yes", "no"):
        raise UnreadableError(f"{clipped(text)} is neither `yes` nor `no`.", "Write one of them.")
    return text == "yes"


def rounds(value: object) -> int:
    """`3 rounds`."""
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    text = _text(value)
    found = _ROUNDS.fullmatch(text)
    if not found:
        raise not_an_amount(text, "a number of rounds", ("rounds",), "3 rounds")
    return int(found[1])


def words(value: str) -> str:
    """Text with something in it."""
    if not value.strip():
        raise UnreadableError("Nothing stands here.", "Write it, or take the key out.")
    return value


def tune(value: str) -> str:
    """`G4 C5 E5 rest`: note names and rests with spaces between."""
    for note in re.finditer(r"\S+", words(value)):
        if note[0] != REST:
            _read_part(note, note_hertz)
    return value


def chord_hertz(text: str) -> tuple[float, ...]:
    """The frequencies of `440 Hz` or `440 Hz + 550 Hz`; raises UnreadableError."""
    return tuple(_read_part(part, _tone_hertz) for part in re.finditer(r"(?:^|(?<=\+))[^+]*", text))


def _tone_hertz(text: str) -> float:
    frequency = _hertz(text.strip())
    if not LOWEST_TONE_HERTZ <= frequency <= HIGHEST_TONE_HERTZ:
        raise UnreadableError(
            f"A tone of {written_hertz(frequency)} would not be heard.",
            f"From {written_hertz(LOWEST_TONE_HERTZ)} to {written_hertz(HIGHEST_TONE_HERTZ)}"
            " is allowed.",
        )
    return frequency


def _read_part(part: re.Match[str], read: Callable[[str], float]) -> float:
    try:
        return read(part[0])
    except UnreadableError as error:
        start = len(part[0]) - len(part[0].lstrip())
        raise error.moved(part.start() + start) from None


def written_hertz(frequency: float) -> str:
    """A frequency as a writer would write it."""
    for unit in ("MHz", "kHz"):
        if frequency >= _HERTZ[unit]:
            return f"{frequency / _HERTZ[unit]:g} {unit}"
    return f"{frequency:g} Hz"


def chord(value: str) -> str:
    """Text that chord_hertz() can read."""
    chord_hertz(value)
    return value


def spoken(value: Template) -> Template:
    """A text with something in it to speak, and not without end."""
    if not any(character.isalnum() for character in words(value.source)):
        raise UnreadableError("There is nothing to speak here.", "Write words, or a `pause`.")
    if len(value.source) > LONGEST_TEXT:
        raise UnreadableError(
            f"A text of {len(value.source)} characters is too long.",
            f"Up to {LONGEST_TEXT} are allowed; make several items of it.",
        )
    return value


def announcement(value: str) -> str:
    """A text that is spoken as it stands, braces too."""
    spoken(Template(value, (value,)))
    return value


@dataclass(frozen=True, slots=True)
class Unit:
    """Marks a field: how one of its values is written in a sentence."""

    written: Callable[[float], str]


_NUMBER_SHAPE = Shape(r"[0-9]{1,9}", "3", ("integer",))
_ANY_TEXT = Shape(r"[\s\S]*\S[\s\S]*", also=("number", "boolean"))
_NOTES = rf"(?:[A-G][#b]?[{LOWEST_OCTAVE}-{HIGHEST_OCTAVE}]|{REST})"
_PITCH = rf"{NUMBER}\s*(?:Hz|kHz|MHz)"
_SPOKEN = Shape(rf"(?=[\s\S]*\S)(?:[^{{}}]|{IN_BRACES})*", "Heron calling.", ("number", "boolean"))

Seconds = Annotated[
    float, BeforeValidator(seconds), Unit(written_seconds), Shape(DURATION, "1 min 30 s")
]
Hertz = Annotated[float, BeforeValidator(hertz), Unit(written_hertz), Shape(_PITCH, "650 Hz")]
Decibels = Annotated[
    float,
    BeforeValidator(decibels),
    Unit(lambda level: f"{level:g} dB"),
    Shape(_LEVEL.pattern, "-6 dB"),
]
WordsPerMinute = Annotated[
    float,
    BeforeValidator(words_per_minute),
    Unit(lambda speed: f"{speed:g} wpm"),
    Shape(_SPEED.pattern, "12 wpm"),
]
Factor = Annotated[
    float,
    BeforeValidator(factor),
    Unit(lambda amount: f"{amount:g}"),
    Shape(NUMBER, "1.5", ("number",)),
]
Rounds = Annotated[
    int,
    BeforeValidator(rounds),
    Unit(lambda count: f"{count:g} rounds"),
    Shape(_ROUNDS.pattern, "3 rounds"),
]
Whole = Annotated[int, BeforeValidator(whole), Unit(str), _NUMBER_SHAPE]
YesNo = Annotated[bool, BeforeValidator(yes_or_no)]
Condition = Annotated[
    Expression,
    BeforeValidator(parse_condition),
    Shape(r"(?!.*(?:==|&&|\|\|)).*\S.*", "lamp_lit", ("boolean",)),
]
Words = Annotated[str, AfterValidator(words), _ANY_TEXT]
Announcement = Annotated[Words, AfterValidator(announcement)]
Tune = Annotated[
    str, AfterValidator(tune), Shape(rf"\s*{_NOTES}(?:\s+{_NOTES})*\s*", "G4 C5 E5 rest")
]
Chord = Annotated[
    str, AfterValidator(chord), Shape(rf"\s*{_PITCH}(?:\s*\+\s*{_PITCH})*\s*", "440 Hz + 550 Hz")
]
Text = Annotated[Template, BeforeValidator(parse_template), AfterValidator(spoken), _SPOKEN]
