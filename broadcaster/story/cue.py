"""A cue: one item, filled in and ready to be made into sound."""

from dataclasses import dataclass

from broadcaster.script.programme import Item


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
