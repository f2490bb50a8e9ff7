"""How a written scalar becomes a value: each field converts the text that it is given.

Nothing is guessed from how a value looks; a converter takes text (or a value that already has the
right type) and raises ValueError with a sentence that says what is allowed.
"""

import re
from typing import Annotated

from pydantic import BeforeValidator

from broadcaster.script.conditions import Expression, parse_condition
from broadcaster.script.template import Template, parse_template

_UNITS_S = {"ms": 0.001, "s": 1.0, "min": 60.0, "h": 3600.0}
_NUMBER = r"[0-9]+(?:\.[0-9]+)?"
_DURATION_PART = re.compile(rf"({_NUMBER})\s*(ms|s|min|h)")
_FREQUENCY = re.compile(rf"({_NUMBER})\s*(Hz|kHz|MHz)")
_LEVEL = re.compile(rf"([+-]?{_NUMBER})\s*dB")
_HERTZ = {"Hz": 1.0, "kHz": 1e3, "MHz": 1e6}


def seconds(value: object) -> float:
    """`4 s`, `250 ms`, `6 min`, `1 h 10 min`."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    text = str(value).strip()
    parts = _DURATION_PART.findall(text)
    if not parts or _DURATION_PART.sub("", text).strip():
        raise ValueError(f"{text!r} is not a duration; write it as `4 s`, `6 min` or `1 h 10 min`.")
    return sum(float(number) * _UNITS_S[unit] for number, unit in parts)


def hertz(value: object) -> float:
    """`650 Hz`, `4.5 kHz`, `91.3 MHz`."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    found = _FREQUENCY.fullmatch(str(value).strip())
    if not found:
        raise ValueError(f"{value!r} is not a frequency; write it as `650 Hz` or `91.3 MHz`.")
    return float(found[1]) * _HERTZ[found[2]]


def decibels(value: object) -> float:
    """`-6 dB`."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    found = _LEVEL.fullmatch(str(value).strip())
    if not found:
        raise ValueError(f"{value!r} is not a level; write it as `-6 dB`.")
    return float(found[1])


def whole(value: object) -> int:
    """A whole number, not negative: `3`."""
    if isinstance(value, int) and not isinstance(value, bool):
        return value
    if not re.fullmatch(r"[0-9]{1,9}", str(value).strip()):
        raise ValueError(f"{value!r} is not a whole number; write it in figures, such as `3`.")
    return int(str(value))


def yes_or_no(value: object) -> bool:
    """`yes` or `no`."""
    if isinstance(value, bool):
        return value
    if str(value).strip() not in ("yes", "no"):
        raise ValueError(f"{value!r} is neither `yes` nor `no`.")
    return str(value).strip() == "yes"


def words_per_minute(value: object) -> float:
    """`6 wpm`."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        return float(value)
    found = re.fullmatch(rf"({_NUMBER})\s*wpm", str(value).strip())
    if not found:
        raise ValueError(f"{value!r} is not a speed; write it as `6 wpm`.")
    return float(found[1])


def fact_value(value: object) -> bool | int:
    """What a fact may hold: `yes`, `no`, or a whole number (negative too)."""
    if isinstance(value, bool | int):
        return value
    text = str(value).strip()
    if text in ("yes", "no"):
        return text == "yes"
    if re.fullmatch(r"-?[0-9]{1,9}", text):
        return int(text)
    raise ValueError(f"{text!r} is not a fact; a fact is `yes`, `no` or a whole number.")


Seconds = Annotated[float, BeforeValidator(seconds)]
Hertz = Annotated[float, BeforeValidator(hertz)]
Decibels = Annotated[float, BeforeValidator(decibels)]
Whole = Annotated[int, BeforeValidator(whole)]
YesNo = Annotated[bool, BeforeValidator(yes_or_no)]
WordsPerMinute = Annotated[float, BeforeValidator(words_per_minute)]
FactValue = Annotated[bool | int, BeforeValidator(fact_value)]
Condition = Annotated[Expression, BeforeValidator(parse_condition)]
Text = Annotated[Template, BeforeValidator(parse_template)]
