"""Times of day and days of the week, as a timetable has them: `21:00`, `21:00:30`, `mon tue`."""

import re
from datetime import time
from typing import Annotated

from pydantic import BeforeValidator

from broadcaster.errors import UnreadableError
from broadcaster.script.names import clipped, known_names
from broadcaster.script.shapes import Shape

DAYS = ("mon", "tue", "wed", "thu", "fri", "sat", "sun")
"""The days of the week, as they are written."""
WORKING_DAYS = DAYS[:5]

_CLOCK_TIME = re.compile(r"([0-9]{1,2}):([0-9]{2})(?::([0-9]{2}))?")


def clock_time(value: object) -> time:
    """`21:00` or `21:00:30`, by the 24-hour clock."""
    if isinstance(value, time):
        return value
    text = value.strip() if isinstance(value, str) else ""
    found = _CLOCK_TIME.fullmatch(text)
    if found:
        hour, minute, second = (int(part or 0) for part in found.groups())
        if hour < 24 and minute < 60 and second < 60:
            return time(hour, minute, second)
    raise UnreadableError(
        f"{clipped(text)} is not a time of day.", "Write it as `21:00` or `21:00:30`."
    )


def days(value: object) -> tuple[str, ...]:
    """`mon tue fri`, as a tuple in the order of the week."""
    if isinstance(value, tuple):
        return value
    if not isinstance(value, str):
        raise UnreadableError("Days are wanted here.", "Write them as `mon tue fri`.")
    for word in re.finditer(r"\S+", value):
        if word[0] not in DAYS:
            raise UnreadableError(
                f"{clipped(word[0])} is not a day.", known_names(word[0], DAYS), word.start()
            )
    written = value.split()
    if not written:
        raise UnreadableError("No day stands here.", "Write days as `mon tue fri`.")
    return tuple(day for day in DAYS if day in written)


_DAY = f"(?:{'|'.join(DAYS)})"

ClockTime = Annotated[
    time,
    BeforeValidator(clock_time),
    Shape(r"(?:[01]?[0-9]|2[0-3]):[0-5][0-9](?::[0-5][0-9])?", "21:00", ("integer",)),
]
Days = Annotated[
    tuple[str, ...], BeforeValidator(days), Shape(rf"\s*{_DAY}(?:\s+{_DAY})*\s*", "mon tue fri")
]
