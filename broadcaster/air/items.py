"""Where the broadcast gets its items: ready, not yet, or not at all."""

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol, TypeAlias

from broadcaster.story.cue import Content, Cue
from broadcaster.units import Samples


@dataclass(frozen=True, slots=True, eq=False)
class Made:
    """An item's sound, and how it is to be received."""

    samples: Samples
    """Shape (frames,), one frame at least."""
    roughness: float | None = None
    """What makes the period sound just as readable as is wanted; None: nothing is wanted."""
    readability: float | None = None
    """How readable the item is then predicted to be at full signal, 1 to 5."""


@dataclass(frozen=True, slots=True)
class Failure:
    """An item that cannot be made, and why, in a sentence."""

    sentence: str


Outcome: TypeAlias = Made | Failure
"""What comes of making an item."""


class ItemSource(Protocol):
    """What the broadcast asks for its items."""

    def expect(self, cues: Sequence[Cue]) -> None:
        """These are needed next, the most urgent first. Returns at once."""

    def fetch(self, cue: Cue) -> Outcome | None:
        """The item; None if it is not ready yet."""


class Shelf:
    """Made items, the longest unused dropped when there are more than so many frames."""

    def __init__(self, frames: int) -> None:
        self._limit = frames
        self._frames = 0
        self._made: OrderedDict[Content, Outcome] = OrderedDict()

    def get(self, content: Content) -> Outcome | None:
        """The made item, if it is kept here."""
        made = self._made.get(content)
        if made is not None:
            self._made.move_to_end(content)
        return made

    def put(self, content: Content, made: Outcome) -> None:
        """Keep it, in the place of an earlier one, and drop what was longest unused."""
        if content in self._made:
            self.drop(content)
        self._made[content] = made
        self._frames += frames_of(made)
        while self._frames > self._limit and len(self._made) > 1:
            _, dropped = self._made.popitem(last=False)
            self._frames -= frames_of(dropped)

    def drop(self, content: Content) -> None:
        """Forget an item."""
        self._frames -= frames_of(self._made.pop(content))

    def __contains__(self, content: object) -> bool:
        return content in self._made


def frames_of(made: Outcome) -> int:
    """How long a made item is; a failure has no length."""
    return 0 if isinstance(made, Failure) else len(made.samples)
