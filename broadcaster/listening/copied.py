"""By what a listener copies an item: by its words, or by its tones."""

from collections.abc import Mapping
from enum import Enum

from broadcaster.script.programme import (
    Clip,
    Groups,
    IntervalSignal,
    Item,
    Morse,
    Pips,
    Say,
    Spell,
    Tone,
)


class Copied(Enum):
    """What must come through for an item to be copied."""

    SPEECH = "speech"
    TONES = "tones"


_BY: Mapping[type[Item], Copied] = {
    Say: Copied.SPEECH,
    Groups: Copied.SPEECH,
    Spell: Copied.SPEECH,
    Clip: Copied.SPEECH,  # what else may be in it is not known
    Morse: Copied.TONES,
    IntervalSignal: Copied.TONES,
    Tone: Copied.TONES,
    Pips: Copied.TONES,
}


def copied_by(item: Item) -> Copied | None:
    """By what an item is copied; None for one that has no sound of its own."""
    return _BY.get(type(item))
