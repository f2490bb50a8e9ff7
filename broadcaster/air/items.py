"""Where the broadcast gets its items' samples: ready, not yet, or not at all."""

from collections import OrderedDict
from collections.abc import Sequence
from dataclasses import dataclass
from typing import Protocol, TypeAlias

from broadcaster.script.programme import Item
from broadcaster.story.cue import Cue
from broadcaster.units import Samples

Content: TypeAlias = tuple[Item, str]


@dataclass(frozen=True, slots=True)
class Failure:
    """An item that cannot be made, and why, in a sentence."""

    sentence: str


Made: TypeAlias = Samples | Failure


class ItemSource(Protocol):
    """What the broadcast asks for its items."""

    def expect(self, cues: Sequence[Cue]) -> None:
        """These are needed next, the most urgent first. Returns at once."""

    def fetch(self, cue: Cue) -> Made | None:
        """The item's samples, shape (frames,) with at least one frame; None if not ready yet."""


class Shelf:
    """Made items, the longest unused dropped when there are more than so many frames."""

    def __init__(self, frames: int) -> None:
        self._limit = frames
        self._frames = 0
        self._made: OrderedDict[Content, Made] = OrderedDict()

    def get(self, content: Content) -> Made | None:
        """The made item, if it is kept here."""
        made = self._made.get(content)
        if made is not None:
            self._made.move_to_end(content)
        return made

    def put(self, content: Content, made: Made) -> None:
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


def frames_of(made: Made) -> int:
    """How long a made item is; a failure has no length."""
    return 0 if isinstance(made, Failure) else len(made)
