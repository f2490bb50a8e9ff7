"""Durations as they are written: `4 s`, `250 ms`, `6 min`, `1 h 10 min`."""

import re

from broadcaster.errors import UnreadableError
from broadcaster.script.meant import not_an_amount
from broadcaster.script.names import clipped

UNITS_S = {"h": 3600.0, "min": 60.0, "s": 1.0, "ms": 0.001}
"""The units of time, in seconds."""

_PART = rf"[0-9]+(?:\.[0-9]+)?\s*(?:{'|'.join(UNITS_S)})(?![A-Za-z_])"
DURATION = rf"{_PART}(?:\s*{_PART})*"
"""A regular expression for a whole duration."""

_DURATION = re.compile(DURATION)
_NUMBER_AND_UNIT = re.compile(r"([0-9.]+)\s*([a-z]+)")
_LONGEST_S = 1000 * 3600.0


def seconds_of(text: str) -> float:
    """The length of a written duration; raises UnreadableError."""
    if not _DURATION.fullmatch(text.strip()):
        raise not_an_amount(text, "a duration", _meant_by(text), "4 s", "6 min", "1 h 10 min")
    length_s = sum(float(number) * UNITS_S[unit] for number, unit in _NUMBER_AND_UNIT.findall(text))
    if length_s > _LONGEST_S:
        raise UnreadableError(f"{clipped(text)} is too long.", "Up to 1000 h are allowed.")
    return length_s


def _meant_by(text: str) -> tuple[str, ...]:
    """The units that may be meant: of `3 seconds` or `3 hrs` one, of `3` the usual two first."""
    return ("ms",) if re.search("ms|mil", text) else ("s", "min", "h", "ms")


def written_seconds(length_s: float) -> str:
    """A duration as a writer would write it."""
    if 0 < length_s < 1:
        return f"{length_s * 1000:g} ms"
    for unit in ("h", "min"):
        if length_s and length_s % UNITS_S[unit] == 0:
            return f"{length_s / UNITS_S[unit]:g} {unit}"
    return f"{length_s:g} s"
