"""A programme together with where each part of it is written, for the checks of meaning."""

from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from broadcaster.errors import Fault, Place
from broadcaster.script.forms import Form
from broadcaster.script.programme import Exit, Item, Programme, Segment, Station
from broadcaster.script.tree import Mapping, Scalar, Sequence

F = TypeVar("F", bound=Form)
G = TypeVar("G", bound=Form)


@dataclass(frozen=True, slots=True)
class Written(Generic[F]):
    """A form, and the mapping that it was built from."""

    form: F
    node: Mapping

    def __contains__(self, key: str) -> bool:
        """Whether the writer wrote the key, and it could be read."""
        return key in self.node.values

    def place(self, key: str | None = None, offset: int = 0) -> Place:
        """Where the mapping begins; with a key, where a character of the text behind it stands."""
        value = self.node.values.get(key or "")
        if isinstance(value, Scalar):
            return value.place_of(offset)
        return value.place if value else self.node.place

    def fault(self, key: str, message: str, mend: str, offset: int = 0) -> Fault:
        """A fault in what stands behind a key."""
        return Fault(self.place(key, offset), message, mend)

    def could_read(self, key: str) -> bool:
        """Whether nothing that was written behind the key had to be left out as faulty."""
        value = self.node.values.get(key)
        complete = not (isinstance(value, Sequence) and value.incomplete)
        return complete and key not in self.node.left_out

    def parts(self, key: str, forms: tuple[G, ...]) -> tuple["Written[G]", ...]:
        """The forms of the list behind a key."""
        value = self.node.values.get(key)
        nodes = value.items if isinstance(value, Sequence) else []
        return tuple(
            Written(form, node)
            for form, node in zip(forms, nodes, strict=True)
            if isinstance(node, Mapping)
        )


@dataclass(frozen=True, slots=True)
class WrittenSegment:
    """A segment, its name, and its items and exits where they are written."""

    name: str
    key: Place
    written: Written[Segment]
    items: tuple[Written[Item], ...]
    exits: tuple[Written[Exit], ...]


class Scene:
    """All that a check of meaning may look at."""

    def __init__(self, programme: Programme, tree: Mapping, folder: Path) -> None:
        self.script = Written(programme, tree)
        self.folder = folder
        """Where the script lies."""
        self.segments = tuple(self._segments())
        """Every segment that could be read."""
        self.segment_names = dict.fromkeys(self._names("segments"))
        """The names of all segments, the faulty ones too."""
        facts = dict.fromkeys(self._names("facts"))
        self.facts: dict[str, bool | int | None] = {**facts, **programme.facts}
        """Every fact, and what it holds when a session begins; None if that could not be read."""

    @property
    def station(self) -> Written[Station] | None:
        """The station, if it could be read."""
        node = self.script.node.values.get("station")
        return Written(self.script.form.station, node) if isinstance(node, Mapping) else None

    def fact_place(self, name: str) -> Place:
        """Where a fact is declared."""
        facts = self.script.node.values["facts"]
        return facts.keys[name].place if isinstance(facts, Mapping) else facts.place

    def _names(self, key: str) -> list[str]:
        node = self.script.node.values.get(key)
        return [*node.keys, *node.left_out] if isinstance(node, Mapping) else []

    def _segments(self) -> Iterator[WrittenSegment]:
        nodes = self.script.node.values.get("segments")
        if not isinstance(nodes, Mapping):
            return
        for name, segment in self.script.form.segments.items():
            node = nodes.values[name]
            if isinstance(node, Mapping):
                written = Written(segment, node)
                yield WrittenSegment(
                    name,
                    nodes.keys[name].place,
                    written,
                    written.parts("play", segment.play),
                    written.parts("exits", segment.exits),
                )
