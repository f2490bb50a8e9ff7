"""When, within an item, a word begins or the key goes down: for whoever follows what goes out."""

from dataclasses import dataclass
from functools import lru_cache

from broadcaster.script.programme import Item, Morse
from broadcaster.sound.keying import keying
from broadcaster.story.cue import Cue
from broadcaster.story.events import Marks, WordTimes


@dataclass(frozen=True, slots=True)
class Timing:
    """Frames, all counted from the item's first."""

    words: WordTimes = ()
    marks: Marks = ()


def marks_of(item: Item, text: str) -> Marks:
    """The marks of Morse that goes out; of anything else none."""
    if not isinstance(item, Morse):
        return ()
    return _keyed(text, item.speed, item.spacing)


def timing_here(cue: Cue) -> Timing:
    """What can be told of an item without its sound: the marks, and no words.

    A long message takes a while (65 ms for a quarter of an hour of it, measured): on air the
    worker tells.
    """
    return Timing(marks=marks_of(cue.item, cue.text))


@lru_cache(maxsize=64)  # a message goes out again and again
def _keyed(text: str, speed_wpm: float, spacing_wpm: float | None) -> Marks:
    marks = keying(text, speed_wpm, spacing_wpm).marks
    return tuple((mark.start_frame, mark.end_frame) for mark in marks)
