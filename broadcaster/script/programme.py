"""The programme: what a writer may write, one class for each kind of mapping.

Field names are the script's keys (a space for each underscore). The reader builds these classes
and fills `cast`, `period` and `folder` of the Programme from the files that the script names.
"""

from pathlib import Path
from typing import Annotated, ClassVar, Literal

from pydantic import Discriminator, Field, Tag
from pydantic.json_schema import SkipJsonSchema

from broadcaster.script.forms import Form
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.sounds import Sound
from broadcaster.script.values import (
    Chord,
    Condition,
    Decibels,
    FactValue,
    FigureGroups,
    Hertz,
    MorseText,
    Seconds,
    SpelledText,
    Text,
    Tune,
    Whole,
    Words,
    WordsPerMinute,
    YesNo,
)

END = "end"
"""Where an exit leads when it ends the session; no segment may have this name."""


class Item(Form):
    """One thing in a running order. Its first key is its kind."""

    kind: ClassVar[str]
    """The key that makes a mapping this item."""
    speaks: ClassVar[bool] = False
    """Whether a voice is needed."""

    when: Condition | None = None
    """Goes out only when this holds at its turn."""
    times: Annotated[Whole, Field(ge=1, le=99)] = 1
    """How often it goes out in a row."""
    clue: Words | None = None
    """What players learn from it; a clue is never cut off silently."""
    level: Annotated[Decibels, Field(ge=-60, le=12)] = 0.0
    """Louder or softer than usual."""


class SpokenItem(Item):
    """An item for which a voice is needed."""

    speaks: ClassVar[bool] = True

    voice: Words | None = None
    """Another voice than the station's."""
    rate: Annotated[Whole, Field(ge=80, le=450)] | None = None
    """Words a minute, instead of the voice's own."""


class Say(SpokenItem):
    """Words, spoken."""

    kind: ClassVar[str] = "say"
    say: Text


class Groups(SpokenItem):
    """Figures in groups, read singly."""

    kind: ClassVar[str] = "groups"
    groups: FigureGroups
    figures: Literal["plain", "aeronautical"] | None = None
    """How they are said, instead of the voice's own way."""
    gap: Seconds | None = None
    """Pause after each figure, instead of the voice's own."""
    group_gap: Seconds | None = None
    """Pause between groups, instead of the voice's own."""


class Spell(SpokenItem):
    """Letters and figures by the spelling alphabet."""

    kind: ClassVar[str] = "spell"
    spell: SpelledText
    gap: Seconds | None = None
    """Pause after each code word, instead of the voice's own."""


class Morse(Item):
    """International Morse code; prosigns as `<AR>`."""

    kind: ClassVar[str] = "morse"
    morse: MorseText
    speed: Annotated[WordsPerMinute, Field(ge=2, le=60)] = 12.0
    """Speed of the characters, in words a minute by the word PARIS."""
    spacing: Annotated[WordsPerMinute, Field(ge=1, le=60)] | None = None
    """Overall speed, slower than `speed`: longer gaps between characters (Farnsworth)."""
    tone: Annotated[Hertz, Field(ge=100, le=4000)] = 650.0


class IntervalSignal(Item):
    """A station's own tune, as note names with octave, and `rest`."""

    kind: ClassVar[str] = "interval signal"
    interval_signal: Tune
    tempo: Annotated[Whole, Field(ge=20, le=400)] = 96
    """Notes a minute."""
    instrument: Literal["celesta", "reed", "oscillator", "bell buoy"] = "celesta"


class Tone(Item):
    """One steady tone, or several at once: `440 Hz`, `440 Hz + 550 Hz`."""

    kind: ClassVar[str] = "tone"
    tone: Chord
    for_: Annotated[Seconds, Field(gt=0, le=600)] = Field(default=2.0, alias="for")


class Pips(Item):
    """A time signal: short pips and a last one that starts on the mark."""

    kind: ClassVar[str] = "pips"
    pips: Annotated[Whole, Field(ge=1, le=12)]


class Clip(Item):
    """A sound file that lies beside the script."""

    kind: ClassVar[str] = "clip"
    clip: Words
    from_: Seconds = Field(default=0.0, alias="from")
    to: Seconds | None = None


class Pause(Item):
    """Nothing but the carrier for a while."""

    kind: ClassVar[str] = "pause"
    pause: Annotated[Seconds, Field(gt=0, le=600)]


ITEM_KINDS: dict[str, type[Item]] = {
    kind.kind: kind for kind in (Say, Groups, Spell, Morse, IntervalSignal, Tone, Pips, Clip, Pause)
}


def kind_of(written: object) -> str | None:
    """The kind of an item, or of a mapping that is to become one: its first key."""
    if isinstance(written, Item):
        return written.kind
    return next(iter(written), None) if isinstance(written, dict) else None


AnyItem = Annotated[
    Annotated[Say, Tag("say")]
    | Annotated[Groups, Tag("groups")]
    | Annotated[Spell, Tag("spell")]
    | Annotated[Morse, Tag("morse")]
    | Annotated[IntervalSignal, Tag("interval signal")]
    | Annotated[Tone, Tag("tone")]
    | Annotated[Pips, Tag("pips")]
    | Annotated[Clip, Tag("clip")]
    | Annotated[Pause, Tag("pause")],
    Discriminator(kind_of),
]


class Exit(Form):
    """A conditional way out of a segment; the first that holds wins."""

    to: Words
    """A segment, or `end`."""
    when: Condition | None = None
    """Always, if left out."""
    at_once: YesNo = False
    """Tried whenever a fact or a named time changes, not only at the end of a round."""


class Segment(Form):
    """A named running order."""

    play: tuple[AnyItem, ...]
    repeat: YesNo = False
    exits: tuple[Exit, ...] = ()
    about: str = ""
    """A line for the operator's list."""


class Station(Form):
    """Who is on air, where, and how it sounds."""

    callsign: Words
    frequency: Hertz
    voice: Words
    """A voice profile."""
    sound: Words = "clean"
    """A period sound."""


class Programme(Form):
    """A whole script."""

    programme: Words
    """The title."""
    station: Station
    opening: Words
    """The segment that begins a session."""
    segments: dict[str, Segment]
    session: Annotated[Seconds, Field(gt=0, le=24 * 3600)] = 3600.0
    """How long a session is planned to last."""
    facts: dict[str, FactValue] = Field(default_factory=dict)
    """What the room can tell the station, each with the value it has when a session begins."""

    # What the reader fills in has aliases that no key can have: a writer cannot write it.
    cast: SkipJsonSchema[dict[str, VoiceProfile]] = Field(default_factory=dict, alias="\0cast")
    """Filled by the reader: every voice that an item may need."""
    period: SkipJsonSchema[Sound | None] = Field(default=None, alias="\0period")
    """Filled by the reader: the station's sound."""
    folder: SkipJsonSchema[Path] = Field(default=Path(), alias="\0folder")
    """Filled by the reader: where the script lies; clips are looked for there."""

    def voice_of(self, item: SpokenItem) -> VoiceProfile:
        """The profile that speaks an item."""
        return self.cast[item.voice or self.station.voice]


def copy_of(item: Item) -> object:
    """What the writer wrote behind the item's kind."""
    return getattr(item, item.kind.replace(" ", "_"))
