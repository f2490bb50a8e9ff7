"""The programme: what a writer may write, one class for each kind of mapping.

Field names are the script's keys (a space for each underscore). The reader builds these classes
and fills `cast`, `period` and `folder` of the Programme from the files that the script names. The
items of a running order are in items.py, facts in facts.py.
"""

from collections.abc import Iterator, Mapping, Sequence
from datetime import time
from pathlib import Path
from typing import Annotated, ClassVar, Literal, TypeAlias

from pydantic import Field
from pydantic.json_schema import SkipJsonSchema

from broadcaster.script.clock_times import DAYS, WORKING_DAYS, ClockTime, Days
from broadcaster.script.facts import FACT_NAME, DeclaredFact, Fact, FactState
from broadcaster.script.forms import Form
from broadcaster.script.items import (
    ITEM_KINDS,
    AnyItem,
    Choose,
    Clip,
    Groups,
    Hint,
    IntervalSignal,
    Item,
    Morse,
    Pause,
    Pips,
    Say,
    SetFacts,
    Spell,
    SpokenItem,
    Tone,
    copy_of,
    kind_of,
)
from broadcaster.script.plain_voice import LEAVE_THE_ROOM
from broadcaster.script.profiles import Language, VoiceProfile
from broadcaster.script.reception import Grade, Signal
from broadcaster.script.shapes import AtLeast, Names, Shape
from broadcaster.script.sounds import Sound
from broadcaster.script.transitions import Transition
from broadcaster.script.values import Announcement, Condition, Factor, Hertz, Seconds, Words, YesNo

__all__ = [
    "END",
    "ITEM_KINDS",
    "AnyItem",
    "Choose",
    "Clip",
    "Exit",
    "Fact",
    "FactState",
    "Groups",
    "IntervalSignal",
    "Item",
    "Language",
    "Milestone",
    "Morse",
    "Pause",
    "Pips",
    "Programme",
    "Say",
    "Segment",
    "SetFacts",
    "Spell",
    "SpokenItem",
    "Station",
    "Steps",
    "TimetableEntry",
    "Tone",
    "copy_of",
    "kind_of",
]

Steps: TypeAlias = tuple[str | int, ...]
"""The keys and indexes that lead to a part of a programme, from the outermost on."""

END = "end"
"""Where an exit leads when it ends the session; no segment may have this name."""


class Exit(Form):
    """A conditional way out of a segment; the first that holds wins."""

    to: Words
    """A segment, or `end`."""
    when: Condition | None = None
    """Always, if left out."""
    at_once: YesNo = False
    """Tried whenever a fact or a named time changes, not only at the end of a round."""
    transition: Transition | None = None
    """What lies between this segment and the next, instead of the station's transition."""


class Segment(Form):
    """A named running order."""

    play: Annotated[tuple[AnyItem, ...], AtLeast(1)]
    """The items, in their order."""
    repeat: YesNo = False
    """Begins again at its end, until an exit holds."""
    exits: tuple[Exit, ...] = ()
    """Ways out, tried at the end of each round; the first that holds wins."""
    about: str = ""
    """A line for the operator's list."""
    hints: Annotated[tuple[Hint, ...], AtLeast(1)] = ()
    """Help beyond the clues, from gentle to plain; each is given once in a session."""
    automatic_hints: YesNo = False
    """The station gives hints itself, as soon as a milestone has stalled."""
    hint_every: Annotated[Seconds, Field(gt=0)] = 180.0
    """After how long the next automatic hint is given, while a milestone is still stalled."""
    readability: Grade | None = None
    """How readable its items and hints are, instead of the station's readability."""
    signal: Signal | None = None
    """How strong the signal is while the segment is on air, instead of the station's signal."""


class Milestone(Form):
    """A point that a team should have passed by a target time. Met once its condition held."""

    when: Condition
    """What the team has done; once it held, the milestone is met for good."""
    by: Annotated[Seconds, Field(gt=0)]
    """The target, in session time: from here on the milestone is overdue."""
    hint_after: Annotated[Seconds, Field(gt=0)] | None = None
    """From here on the team has stalled; `by`, if left out."""
    usual: Annotated[Seconds, Field(gt=0)] | None = None
    """How long a usual team takes for it once it has met the milestone before, for rehearsals with
    random teams. Without it, from one milestone's `by` to the next."""
    spread: Annotated[Factor, Field(ge=1, le=5)] = 1.5
    """How much teams differ: two thirds of them take between `usual` divided by this and `usual`
    times this."""

    @property
    def stalled_after(self) -> float:
        """The session time, in seconds, from which the team has stalled."""
        return self.by if self.hint_after is None else self.hint_after


class TimetableEntry(Form):
    """Something that goes out, or a move to a segment, by session time or by the clock on the wall.

    It has exactly one of `at`, `every`, `daily`, `weekdays`, and exactly one of `play`, `segment`.
    """

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = (
        ("at", "every", "daily", "weekdays"),
        ("play", "segment"),
    )
    belongs: ClassVar[Mapping[str, str]] = {"from": "every", "days": "daily"}

    at: Seconds | None = None
    """Once, at this session time."""
    every: Annotated[Seconds, Field(gt=0)] | None = None
    """Again and again, first at `from` or, without it, after this much session time."""
    from_: Seconds | None = Field(default=None, alias="from")
    """The session time at which `every` begins."""
    daily: ClockTime | None = None
    """At this time of day: `21:00` or `21:00:30`."""
    days: Days | None = None
    """Only on these days of the week: `mon tue fri`."""
    weekdays: ClockTime | None = None
    """At this time of day, Monday to Friday."""
    play: Annotated[tuple[AnyItem, ...], AtLeast(1)] = ()
    """What goes out, between two items."""
    segment: Words | None = None
    """The segment to which the station moves, after the item on air."""
    late: Annotated[Seconds, Field(ge=0)] = 300.0
    """How late it may begin, as it waits for the end of the item on air; later it is dropped."""

    @property
    def clock(self) -> time | None:
        """The time of day, for an entry by the clock on the wall."""
        return self.daily or self.weekdays

    @property
    def on_days(self) -> tuple[str, ...]:
        """The days of the week on which it is due, as three letters, Monday first."""
        return WORKING_DAYS if self.weekdays else self.days or DAYS


class Station(Form):
    """Who is on air, where, and how it sounds."""

    callsign: Words
    """The name by which it calls itself."""
    frequency: Hertz
    """Where on the dial: `91.3 MHz`."""
    voice: Words
    """A voice profile."""
    voices: dict[Language, Words] = Field(default_factory=dict)
    """The voice profile for each other language: `{de: deich}`."""
    sound: Words = "clean"
    """A period sound."""
    readability: Grade | None = None
    """How readable each item is, from 1 (unreadable) to 5 (perfectly): the sound is made as rough
    as that allows. Without it, the sound is as rough as its table says."""
    signal: Signal | None = None
    """How strong the signal is: 0 (nothing but noise) to 5 (full, which it is without this key). A
    number, or a sum such as `crates_open + 1` that follows the facts; a yes counts 1."""
    transition: Transition | None = None
    """What lies between a segment and the next. Without it nothing does, and static where an item
    was cut off."""
    pre_emphasis: Literal["50 us", "75 us"] = "50 us"
    """By how much the transmitter lifts treble: 75 us in the Americas and Korea, 50 us elsewhere
    (Rec. ITU-R BS.450)."""


class Programme(Form):
    """A whole script."""

    programme: Words
    """The title."""
    station: Station
    """Who is on air."""
    opening: Words
    """The segment that begins a session."""
    segments: Annotated[dict[str, Segment], Names(rf"(?!{END}$).*\S.*")]
    """Every running order, by its name."""
    session: Annotated[Seconds, Field(gt=0, le=24 * 3600)] = 3600.0
    """How long a session is planned to last."""
    facts: Annotated[dict[str, DeclaredFact], Names(FACT_NAME)] = Field(default_factory=dict)
    """What the room can tell the station, each with the value it has when a session begins."""
    milestones: Annotated[dict[str, Milestone], Names(r"[^()]+")] = Field(default_factory=dict)
    """What a team should have done by when."""
    timetable: tuple[TimetableEntry, ...] = ()
    """What goes out by session time or by the clock on the wall."""
    sounds: Annotated[dict[str, Sound], Names(r".*\S.*")] = Field(default_factory=dict)
    """Period sounds of your own, each a table of processors under its name; one that is called as
    a shipped one takes its place."""
    include: tuple[Annotated[Words, Shape(r"[^/\\]+", "shared.yaml")], ...] = ()
    """Files beside this one, whose segments, facts, milestones, sounds and timetable belong to it
    too."""
    clues_within: Annotated[Seconds, Field(gt=0)] | None = None
    """How long, at worst, may pass from tuning in until any clue has been heard complete."""
    clue_floor: Grade = 3.0
    """How readable each clue must be, at least."""
    phrases: Annotated[dict[str, Words], Names(r".*\S.*")] = Field(default_factory=dict)
    """Names and words that the voice says wrongly, each with another spelling that it says right:
    `{Shingle: shing gull}`."""
    plain_voice: Announcement | None = None
    """What the plain voice says, for the real world and not for the game: how to leave the room
    safely. Without it, a sentence of ours in the language of the station's voice."""

    # What the reader fills in has aliases that no key can have: a writer cannot write it.
    cast: SkipJsonSchema[dict[str, VoiceProfile]] = Field(default_factory=dict, alias="\0cast")
    """Filled by the reader: every voice that an item may need."""
    period: SkipJsonSchema[Sound | None] = Field(default=None, alias="\0period")
    """Filled by the reader: the station's sound."""
    folder: SkipJsonSchema[Path] = Field(default=Path(), alias="\0folder")
    """Filled by the reader: where the script lies; clips are looked for there."""

    @property
    def plain_voice_text(self) -> str:
        """What the plain voice says unless it is given a text."""
        voice = self.cast.get(self.station.voice)
        return self.plain_voice or LEAVE_THE_ROOM[voice.language if voice else "en"]

    def items(self) -> Iterator[tuple[Steps, Item]]:
        """Every item, with the keys and indexes that lead to it.

        Those of running orders and hints, segment by segment, then of the timetable; a `choose` is
        followed by its variants.
        """
        for name, segment in self.segments.items():
            yield from _with_variants(("segments", name, "play"), segment.play)
            yield from _with_variants(("segments", name, "hints"), segment.hints)
        for number, entry in enumerate(self.timetable):
            yield from _with_variants(("timetable", number, "play"), entry.play)

    def voice_of(self, item: SpokenItem) -> VoiceProfile:
        """The profile that speaks an item."""
        return self.cast[self.voice_name_of(item)]

    def voice_name_of(self, item: SpokenItem) -> str:
        """The voice of an item: its own, else the station's for its language."""
        if item.voice is not None:
            return item.voice
        for_language = self.station.voices.get(item.language) if item.language else None
        return for_language or self.station.voice

    def phrases_in(self, language: Language) -> Mapping[str, str]:
        """The phrase dictionary for texts of a language: it is for that of the station's voice."""
        return self.phrases if language == self.cast[self.station.voice].language else {}

    def language_of(self, item: Item) -> Language:
        """The language of an item; that of the station's voice for one that does not speak."""
        if isinstance(item, SpokenItem) and item.language:
            return item.language
        name = self.voice_name_of(item) if isinstance(item, SpokenItem) else self.station.voice
        return self.cast[name].language if name in self.cast else "en"


def _with_variants(steps: Steps, items: Sequence[Item]) -> Iterator[tuple[Steps, Item]]:
    for place, item in enumerate(items):
        yield (*steps, place), item
        if isinstance(item, Choose):
            yield from _with_variants((*steps, place, "choose"), item.choose)
