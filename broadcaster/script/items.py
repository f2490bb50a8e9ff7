"""What can stand in a running order: one class for each kind of item.

The first key of an item is its kind, the other keys are its options. Field names are the script's
keys (a space for each underscore).
"""

from collections.abc import Mapping
from typing import Annotated, ClassVar, Literal

from pydantic import Discriminator, Field, Tag

from broadcaster.script.facts import FactValue
from broadcaster.script.forms import Form
from broadcaster.script.profiles import Gap, Language, Readings
from broadcaster.script.reception import Grade
from broadcaster.script.shapes import AtLeast, Shape
from broadcaster.script.signs import FigureGroups, MorseText, SpelledText
from broadcaster.script.values import (
    Chord,
    Condition,
    Decibels,
    Hertz,
    Rounds,
    Seconds,
    Text,
    Tune,
    Whole,
    Words,
    WordsPerMinute,
    YesNo,
)


class Item(Form):
    """One thing in a running order. Its first key is its kind."""

    kind: ClassVar[str]
    """The key that makes a mapping this item."""
    speaks: ClassVar[bool] = False
    """Whether a voice is needed."""
    sounds: ClassVar[bool] = True
    """Whether there is something to hear."""
    tones: ClassVar[bool] = False
    """Whether it is tones alone, which come through where speech does not."""
    belongs: ClassVar[Mapping[str, str]] = {"within": "clue"}

    when: Condition | None = None
    """Goes out only when this holds at its turn."""
    once: YesNo = False
    """Goes out once in a session, the first time that its turn comes and `when` holds."""
    every: Annotated[Rounds, Field(ge=2, le=99)] | None = None
    """Goes out only each so many rounds: `every: 3 rounds` in rounds 3, 6, 9 and so on."""
    times: Annotated[Whole, Field(ge=1, le=99)] = 1
    """How often it goes out in a row."""
    clue: Words | None = None
    """What players learn from it; a clue is never cut off silently."""
    within: Annotated[Seconds, Field(gt=0)] | None = None
    """How long, at worst, may pass from tuning in until this clue has been heard complete."""
    level: Annotated[Decibels, Field(ge=-60, le=12)] = 0.0
    """Louder or softer than usual."""
    readability: Grade | None = None
    """How readable it is, from 1 to 5, instead of the segment's or station's readability. For
    tones without a readability of their own the sound is no rougher than for speech: it is even."""


class SpokenItem(Item):
    """An item for which a voice is needed."""

    speaks: ClassVar[bool] = True

    voice: Words | None = None
    """Another voice than the station's."""
    language: Language | None = None
    """Another language than the station's: picks the station's voice for that language."""
    rate: Annotated[Whole, Field(ge=80, le=450)] | None = None
    """Words a minute, instead of the voice's own."""


class Say(SpokenItem):
    """Words, spoken."""

    kind: ClassVar[str] = "say"
    say: Text
    """What is said. `{crates_open}` stands for a fact's value; `{session time}`, `{time left}` and
    `{clock}` are spoken as words."""


class Groups(SpokenItem):
    """Figures in groups, read singly."""

    kind: ClassVar[str] = "groups"
    groups: FigureGroups
    """The figures, a space between groups: `41972 08310`."""
    figures: Literal["plain", "aeronautical"] | None = None
    """How they are said, instead of the voice's own way."""
    gap: Gap | None = None
    """Pause after each figure, instead of the voice's own."""
    group_gap: Gap | None = None
    """Pause between groups, instead of the voice's own."""
    readings: Readings | None = None
    """How often they are read, and in which order, instead of the voice's own way."""


class Spell(SpokenItem):
    """Letters and figures by the spelling alphabet."""

    kind: ClassVar[str] = "spell"
    spell: SpelledText
    """Letters A to Z, figures and spaces."""
    gap: Gap | None = None
    """Pause after each code word, instead of the voice's own."""


class Morse(Item):
    """International Morse code; prosigns as `<AR>`."""

    kind: ClassVar[str] = "morse"
    tones: ClassVar[bool] = True
    morse: MorseText
    """The message."""
    speed: Annotated[WordsPerMinute, Field(ge=2, le=60)] = 12.0
    """Speed of the characters, in words a minute by the word PARIS."""
    spacing: Annotated[WordsPerMinute, Field(ge=1, le=60)] | None = None
    """Overall speed, slower than `speed`: longer gaps between characters (Farnsworth)."""
    tone: Annotated[Hertz, Field(ge=100, le=4000)] = 650.0
    """The pitch of the key's tone."""


class IntervalSignal(Item):
    """A station's own tune, as note names with octave, and `rest`."""

    kind: ClassVar[str] = "interval signal"
    tones: ClassVar[bool] = True
    interval_signal: Tune
    """The notes: `G4 C5 E5 rest`."""
    tempo: Annotated[Whole, Field(ge=20, le=400)] = 96
    """Notes a minute."""
    instrument: Literal["celesta", "reed", "oscillator", "bell buoy"] = "celesta"
    """What plays it."""


class Tone(Item):
    """One steady tone, or several at once: `440 Hz`, `440 Hz + 550 Hz`."""

    kind: ClassVar[str] = "tone"
    tones: ClassVar[bool] = True
    tone: Chord
    """The frequencies, with `+` between them."""
    for_: Annotated[Seconds, Field(gt=0, le=600)] = Field(default=2.0, alias="for")
    """How long it sounds."""


class Pips(Item):
    """A time signal: short pips and a last one that starts on the mark."""

    kind: ClassVar[str] = "pips"
    tones: ClassVar[bool] = True
    pips: Annotated[Whole, Field(ge=1, le=12)]
    """How many, one a second."""


class Clip(Item):
    """A sound file that lies beside the script."""

    kind: ClassVar[str] = "clip"
    clip: Annotated[Words, Shape(r"(?!/|[A-Za-z]:|(?:.*/)?\.\./)[^\\]+", "clips/bell.wav")]
    """Its path from the script's folder: `clips/bell.wav`."""
    from_: Seconds = Field(default=0.0, alias="from")
    """Where in the file it begins."""
    to: Seconds | None = None
    """Where in the file it ends; without it, where the file ends."""


class Pause(Item):
    """Nothing but the carrier for a while."""

    kind: ClassVar[str] = "pause"
    sounds: ClassVar[bool] = False
    pause: Annotated[Seconds, Field(gt=0, le=600)]
    """How long."""

    readability: ClassVar[None] = None  # type: ignore[misc]


class SetFacts(Item):
    """Facts that the script itself changes, so that a story can remember. Takes no time."""

    kind: ClassVar[str] = "set"
    sounds: ClassVar[bool] = False
    set: Annotated[dict[str, FactValue], AtLeast(1)]
    """Each fact's new value: `{warned: yes}`."""

    # What takes no time is not heard: it has none of the options that say how.
    times: ClassVar[int] = 1  # type: ignore[misc]
    clue: ClassVar[None] = None  # type: ignore[misc]
    within: ClassVar[None] = None  # type: ignore[misc]
    level: ClassVar[float] = 0.0  # type: ignore[misc]
    readability: ClassVar[None] = None  # type: ignore[misc]


def kind_of(written: object) -> str | None:
    """The kind of an item, or of a mapping that is to become one: its first key."""
    if isinstance(written, Item):
        return written.kind
    return next(iter(written), None) if isinstance(written, dict) else None


_Heard = (
    Annotated[Say, Tag("say")]
    | Annotated[Groups, Tag("groups")]
    | Annotated[Spell, Tag("spell")]
    | Annotated[Morse, Tag("morse")]
    | Annotated[IntervalSignal, Tag("interval signal")]
    | Annotated[Tone, Tag("tone")]
    | Annotated[Pips, Tag("pips")]
    | Annotated[Clip, Tag("clip")]
    | Annotated[Pause, Tag("pause")]
)
Variant = Annotated[_Heard, Discriminator(kind_of)]
"""What a choice is made from."""


class Choose(Item):
    """One of several variants, by chance, never the same twice running.

    When it goes out, how often, and the clue in it are options beside `choose`; a variant has only
    the options that say how it sounds.
    """

    kind: ClassVar[str] = "choose"
    choose: Annotated[tuple[Variant, ...], AtLeast(2)]
    """The variants: two items or more."""

    level: ClassVar[float] = 0.0  # type: ignore[misc]
    readability: ClassVar[None] = None  # type: ignore[misc]


Hint = Annotated[_Heard | Annotated[Choose, Tag("choose")], Discriminator(kind_of)]
"""What a ladder of hints is made of."""
AnyItem = Annotated[
    _Heard | Annotated[Choose, Tag("choose")] | Annotated[SetFacts, Tag("set")],
    Discriminator(kind_of),
]
"""What a running order is made of."""

ITEM_KINDS: dict[str, type[Item]] = {
    kind.kind: kind
    for kind in (
        Say,
        Groups,
        Spell,
        Morse,
        IntervalSignal,
        Tone,
        Pips,
        Clip,
        Pause,
        Choose,
        SetFacts,
    )
}


def copy_of(item: Item) -> object:
    """What the writer wrote behind the item's kind."""
    return getattr(item, item.kind.replace(" ", "_"))
