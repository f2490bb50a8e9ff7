"""A programme together with where each part of it is written, for the checks of meaning."""

from collections.abc import Iterator
from collections.abc import Mapping as AnyMapping
from dataclasses import dataclass
from pathlib import Path
from typing import Generic, TypeVar

from broadcaster.errors import Fault, Place
from broadcaster.script.facts import usable_name
from broadcaster.script.forms import Form
from broadcaster.script.programme import (
    Choose,
    Exit,
    Fact,
    Item,
    Programme,
    Segment,
    Station,
)
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

    def place_under(self, key: str, step: str | int) -> Place:
        """Where a value stands in the mapping or list behind a key, by its name or number."""
        match self.node.values.get(key):
            case Mapping(values=values):
                return values[str(step)].place
            case Sequence(items=items):
                return items[int(step)].place
        return self.place(key)

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
class Named(Generic[F]):
    """A form that stands under a name of the writer's: the name, and where it is written."""

    name: str
    key: Place
    written: Written[F]


@dataclass(frozen=True, slots=True)
class WrittenSegment(Named[Segment]):
    """A segment, with its items, exits and hints where they are written."""

    @property
    def items(self) -> tuple[Written[Item], ...]:
        """Its running order."""
        return self.written.parts("play", self.written.form.play)

    @property
    def exits(self) -> tuple[Written[Exit], ...]:
        """Its ways out."""
        return self.written.parts("exits", self.written.form.exits)

    @property
    def hints(self) -> tuple[Written[Item], ...]:
        """Its ladder of hints."""
        return self.written.parts("hints", self.written.form.hints)


class Scene:
    """All that a check of meaning may look at."""

    def __init__(self, programme: Programme, tree: Mapping, folder: Path) -> None:
        self.script = Written(programme, tree)
        self.folder = folder
        """Where the script lies."""
        self.segments = tuple(
            WrittenSegment(each.name, each.key, each.written)
            for each in self._named("segments", programme.segments)
        )
        """Every segment that could be read."""
        self.segment_names = dict.fromkeys(self._names("segments"))
        """The names of all segments, the faulty ones too."""
        self.milestones = tuple(self._named("milestones", programme.milestones))
        """Every milestone that could be read."""
        self.milestone_names = dict.fromkeys(self._names("milestones"))
        """The names of all milestones, the faulty ones too."""
        self.sound_names = dict.fromkeys(self._names("sounds"))
        """The names of all sounds of the script's own, the faulty ones too."""
        self.timetable = self.script.parts("timetable", programme.timetable)
        """Every entry of the timetable that could be read."""
        self.facts: dict[str, Fact | None] = {
            usable_name(name): programme.facts.get(name) if self._is_whole("facts", name) else None
            for name in self._names("facts")
        }
        """Every fact, by the name that it can have; None if it could not be read."""

    @property
    def station(self) -> Written[Station] | None:
        """The station, if it could be read."""
        node = self.script.node.values.get("station")
        return Written(self.script.form.station, node) if isinstance(node, Mapping) else None

    def items(self) -> Iterator[Written[Item]]:
        """Every item, wherever it is written: in running orders, hints, timetable and variants."""
        for segment in self.segments:
            yield from _with_variants((*segment.items, *segment.hints))
        for entry in self.timetable:
            yield from _with_variants(entry.parts("play", entry.form.play))

    def key_place(self, key: str, name: str) -> Place:
        """Where a name is written in the mapping behind a key of the script."""
        names = self.script.node.values[key]
        return names.keys[name].place if isinstance(names, Mapping) else names.place

    def _names(self, key: str) -> list[str]:
        node = self.script.node.values.get(key)
        return [*node.keys, *node.left_out] if isinstance(node, Mapping) else []

    def _is_whole(self, key: str, name: str) -> bool:
        """Whether nothing of what stands under a name had to be left out as faulty."""
        names = self.script.node.values.get(key)
        node = names.values.get(name) if isinstance(names, Mapping) else None
        return not (isinstance(node, Mapping) and node.left_out)

    def _named(self, key: str, forms: AnyMapping[str, F]) -> Iterator[Named[F]]:
        """The forms behind a key whose value is a mapping of names."""
        nodes = self.script.node.values.get(key)
        if not isinstance(nodes, Mapping):
            return
        for name, form in forms.items():
            node = nodes.values[name]
            if isinstance(node, Mapping):
                yield Named(name, nodes.keys[name].place, Written(form, node))


def _with_variants(parts: tuple[Written[Item], ...]) -> Iterator[Written[Item]]:
    for part in parts:
        yield part
        yield from _with_variants(variants(part))


def variants(part: Written[Item]) -> tuple[Written[Item], ...]:
    """The variants of a `choose`, where they are written; of any other item none."""
    return part.parts("choose", part.form.choose) if isinstance(part.form, Choose) else ()
