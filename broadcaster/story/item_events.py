"""What goes out of the items: which went on air when, and which come.

Frames are counts of units.RATE since the station started.
"""

from dataclasses import dataclass
from enum import StrEnum
from typing import TypeAlias


class Part(StrEnum):
    """What an item on air belongs to."""

    RUNNING_ORDER = "running order"
    HINT = "hint"
    TIMETABLE = "timetable"
    ANNOUNCEMENT = "announcement"
    TRANSITION = "transition"
    PLAIN_VOICE = "plain voice"


OF_THE_OPERATOR = (Part.ANNOUNCEMENT, Part.PLAIN_VOICE)
"""What nobody knew beforehand, and goes out whatever else wants to."""
Marks: TypeAlias = tuple[tuple[int, int], ...]
"""The times that a key is down: from which frame on, and from which it is up again."""
WordTimes: TypeAlias = tuple[tuple[int, str], ...]
"""Words, each with the frame on which it begins, counted from the item's first."""


@dataclass(frozen=True, slots=True)
class ItemStarted:
    """An item went on air, and when it will end if nothing cuts it."""

    start_frame: int
    end_frame: int
    segment: str
    item: str
    text: str
    clue: str | None
    time: int
    times: int
    round: int
    part: str = Part.RUNNING_ORDER
    words: WordTimes = ()
    """Empty where no engine tells; as the voice was given them, which is not always as written."""
    readability: float | None = None
    """What is predicted for it at full signal, 1 to 5; None where nothing was worked out."""


@dataclass(frozen=True, slots=True)
class Keyed:
    """An item of Morse went on air: when its key is down, in frames counted from `start_frame`.

    Told after its ItemStarted, ahead of what is heard. If it is cut, its ItemAired tells the end.
    """

    start_frame: int
    marks: Marks


@dataclass(frozen=True, slots=True)
class ItemAired:
    """The as-run entry: each frame of the broadcast lies in exactly one of these.

    `complete` is False where a jump or the end of the station cut the item.
    """

    start_frame: int
    end_frame: int
    segment: str
    item: str
    text: str
    clue: str | None
    time: int
    times: int
    round: int
    complete: bool
    part: str = Part.RUNNING_ORDER
    readability: float | None = None
    """What was predicted for it at full signal, 1 to 5; None where nothing was worked out."""


@dataclass(frozen=True, slots=True)
class Coming:
    """What goes out next if nothing happens: pairs of segment, item kind and text."""

    frame: int
    cues: tuple[tuple[str, str, str], ...]


@dataclass(frozen=True, slots=True)
class RoundEnds:
    """When the round on air will be over if nothing happens: told whenever that changes.

    The wait of a jump after the round; that of a jump after the item is ItemStarted.end_frame.
    """

    frame: int
    end_frame: int | None
    """None: no round is on air, or it is held."""
    exact: bool
    """False: the length of an item that was not on air yet is guessed."""
