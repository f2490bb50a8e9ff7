"""A cue: one item, filled in and ready to be made into sound."""

from collections.abc import Mapping
from dataclasses import dataclass
from datetime import datetime
from typing import ClassVar, NamedTuple

from broadcaster.script.facts import plain
from broadcaster.script.programme import Item, Pips, Programme, Say, copy_of
from broadcaster.script.template import Template
from broadcaster.script.values import Seconds
from broadcaster.story.events import OF_THE_OPERATOR, FactState, Part
from broadcaster.story.words import clock_said, length_said, minute_of, yes_or_no


class Carrier(Item):
    """Nothing but the station's own carrier and bed. The station airs it where it has no item."""

    kind: ClassVar[str] = "carrier"
    sounds: ClassVar[bool] = False
    carrier: Seconds


class Content(NamedTuple):
    """An item, its text, and how readable it is to be (None: the period sound is not asked for)."""

    item: Item
    text: str
    readability: float | None


@dataclass(frozen=True, slots=True)
class Cue:
    """What goes on air next: the item, where it stands, and its text with values filled in."""

    segment: str
    item: Item
    text: str
    """What the item carries, in plain words: for the screen, the log and the voice."""
    time: int = 1
    """Which of `item.times`, from 1."""
    round: int = 1
    """Which round of the segment, from 1."""
    part: Part = Part.RUNNING_ORDER
    """What the item belongs to."""
    readability: float | None = None
    """How readable it is to be, 1 to 5; None: the period sound stays as it is."""

    @property
    def content(self) -> Content:
        """All that its sound depends on, voices aside: cues with the same content sound alike."""
        return Content(self.item, self.text, self.solved_for)

    @property
    def solved_for(self) -> float | None:
        """The readability for which the period sound is to be worked out, ahead of air.

        For what the operator says there is no time, and for tones that nobody must copy no need:
        they go out with what was worked out before.
        """
        idle = self.follows_speech and not self.item.clue
        return None if idle or self.part in OF_THE_OPERATOR else self.readability

    @property
    def follows_speech(self) -> bool:
        """Whether it goes out no rougher than speech: else the bed would leap up to each tone."""
        return self.item.tones and self.item.readability is None


@dataclass(frozen=True, slots=True)
class Times:
    """What a text can tell of time, at one moment."""

    session_s: float
    """How long the session has lasted."""
    left_s: float
    """How long until its planned end; less than 0 when it is past."""
    clock: datetime
    """The time of day."""


def tells_time(item: Item) -> bool:
    """Whether an item's text tells a time."""
    copy = copy_of(item)
    return isinstance(copy, Template) and bool(copy.times)


def text_of(
    item: Item, facts: Mapping[str, FactState], times: Times | None = None, language: str = "en"
) -> str:
    """What an item carries, with the values in their places.

    In a text that is said, times are words of the language; in one that is keyed or spelled,
    figures: minutes, or the time of day as 2105.
    """
    copy = copy_of(item)
    if isinstance(copy, Template):
        say = _said if isinstance(item, Say) else _in_figures
        return copy.fill(
            lambda name: (
                say(name, times, language)
                if times and name not in facts
                else _fact_in_text(facts[name], language)
            )
        )
    if isinstance(item, Pips):
        return f"{copy} pips"
    if isinstance(copy, str):
        return str(copy)
    return item.kind


def announced(text: str) -> Say:
    """A live announcement as an item: the text stays as it is typed, braces too."""
    return Say.model_construct(say=Template(text, (text,)))


def prepared_plainly(programme: Programme) -> Cue:
    """What the plain voice says when it is given no text."""
    text = programme.plain_voice_text
    return Cue("", announced(text), text, part=Part.PLAIN_VOICE)


def fact_said(value: FactState) -> str:
    """A fact's value as a sentence for the operator has it."""
    return plain(value)


def _fact_in_text(value: FactState, language: str) -> str:
    return yes_or_no(value, language) if isinstance(value, bool) else str(value)


def _said(name: str, times: Times, language: str) -> str:
    match name:
        case "session time":
            return length_said(times.session_s, language)
        case "time left":
            return length_said(times.left_s, language)
        case _:
            return clock_said(times.clock, language)


def _in_figures(name: str, times: Times, language: str) -> str:
    del language  # figures are the same in all of them
    match name:
        case "session time":
            return str(round(times.session_s / 60))
        case "time left":
            return str(round(max(0.0, times.left_s) / 60))
        case _:
            return f"{minute_of(times.clock):%H%M}"
