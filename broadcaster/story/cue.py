"""A cue: one item, filled in and ready to be made into sound."""

from dataclasses import dataclass
from typing import ClassVar

from broadcaster.script.programme import Item, Pips, copy_of
from broadcaster.script.template import Template
from broadcaster.script.values import Seconds
from broadcaster.story.events import FactState


class Carrier(Item):
    """Nothing but the station's own carrier and bed. The station airs it where it has no item."""

    kind: ClassVar[str] = "carrier"
    carrier: Seconds


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

    @property
    def content(self) -> tuple[Item, str]:
        """All that its sound depends on, voices aside: cues with the same content sound alike."""
        return (self.item, self.text)


def text_of(item: Item, facts: dict[str, FactState]) -> str:
    """What an item carries, with the facts' values in their places."""
    copy = copy_of(item)
    if isinstance(copy, Template):
        return copy.fill(lambda name: fact_said(facts[name]))
    if isinstance(item, Pips):
        return f"{copy} pips"
    if isinstance(copy, str):
        return str(copy)
    return item.kind


def fact_said(value: FactState) -> str:
    """A fact's value as it stands in a text."""
    if isinstance(value, bool):
        return "yes" if value else "no"
    return str(value)
