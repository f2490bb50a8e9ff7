"""A script that is written in several files: what the others hold joins the tree of the first.

Each key and value keeps its place in its own file, so that every fault points there.
"""

import os
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path, PurePath

from broadcaster.errors import Fault, Place, ScriptError, UsageError
from broadcaster.script.misplaced import put_under_segments
from broadcaster.script.names import clipped, known_names, listed
from broadcaster.script.programme import Programme
from broadcaster.script.reading import read_file
from broadcaster.script.source import MOST_BYTES
from broadcaster.script.spots import Spot
from broadcaster.script.tree import Mapping, Node, Scalar, Sequence
from broadcaster.script.wording import KEYS, LIST, wrong_shape

MOST_FILES = 20
"""So many files make one script at most."""

_SHARED = ("facts", "milestones", "segments", "sounds", "timetable")
_INCLUDE = "include"


def read_script(path: Path, told: Path) -> tuple[Node, list[Fault], bool]:
    """A script's tree with all that it includes, the faults so far, and whether it is complete.

    It is not complete where a file could not be included: names that seem to be missing may be in
    there. `told` is what places call the file; those that it includes are called as if beside it.
    Raises UsageError if the first file cannot be opened, ScriptError if it cannot be read.
    """
    tree, faults = read_file(path, told)
    including = _Including([*faults, *put_under_segments(tree)], {_real(path): path}, told.parent)
    if isinstance(tree, Mapping):
        including.include_all(tree, tree, (path,))
    return tree, including.faults, including.complete


@dataclass
class _Including:
    faults: list[Fault]
    read: dict[Path, Path]
    """Every file read so far: where it really is, and its path as we speak of it."""
    told_folder: Path
    complete: bool = True
    bytes_read: int = 0

    def include_all(self, holder: Mapping, tree: Mapping, way: tuple[Path, ...]) -> None:
        """Join to the tree all that the holder, read by way of these files, includes."""
        for entry in self._entries(holder, tree):
            included = self._read(entry, way)
            if included is None:
                continue
            node, path = included
            if not isinstance(node, Mapping):
                self._fail(
                    node.place,
                    "An included file is a set of keys.",
                    f"Write {listed(_SHARED)} in it, each with what belongs to it below.",
                )
                continue
            self._refuse_other_keys(node)
            for key in _SHARED:
                self._join(key, node, tree)
            self.include_all(node, tree, (*way, path))

    def _entries(self, holder: Mapping, tree: Mapping) -> list[Scalar]:
        """The names of files behind `include`; the first file's are checked when it is built."""
        node = holder.values.get(_INCLUDE)
        if node is None:
            return []
        names = node.items if isinstance(node, Sequence) else []
        scalars = [each for each in names if isinstance(each, Scalar) and each.text.strip()]
        if len(scalars) < len(names) or not isinstance(node, Sequence):
            self.complete = False
            if holder is not tree:
                message = "`include` is not a list of the names of files."
                self.faults.append(Fault(node.place, message, "Write `include: [shared.yaml]`."))
        return scalars

    def _read(self, entry: Scalar, way: tuple[Path, ...]) -> tuple[Node, Path] | None:
        """The tree of a file and its path; None if it cannot be included or is so already."""
        name = entry.text.strip()
        path = way[0].parent / name
        real = _real(path)
        if PurePath(name).name != name or "\\" in name or real.parent != _folder(way):
            message = f"{clipped(entry.text)} is not the name of a file in the script's folder."
            self._fail(entry.place, message, "Put the file beside the script, and write its name.")
        elif real in map(_real, way):
            self._fail(entry.place, f"{clipped(name)} includes itself.", _by_way_of(way, path))
        elif real not in self.read and len(self.read) >= MOST_FILES:
            message = f"The script has more than {MOST_FILES} files."
            self._fail(entry.place, message, "Put several of them into one.")
        elif real not in self.read:
            self.read[real] = path
            return self._tree(entry, path)
        return None

    def _tree(self, entry: Scalar, path: Path) -> tuple[Node, Path] | None:
        try:
            node, faults = read_file(path, self.told_folder / path.name)
        except UsageError as error:
            beside = sorted(set(path.parent.glob("*.y*ml")) - set(self.read.values()))
            known = known_names(path.name, (each.name for each in beside))
            message = str(error) if path in beside else f"There is no file {clipped(path.name)}."
            self._fail(entry.place, message, known)
            return None
        except ScriptError as error:
            self.faults += error.faults
            self.complete = False
            return None
        self.faults += [*faults, *put_under_segments(node)]
        self.bytes_read += path.stat().st_size
        if self.bytes_read > MOST_BYTES:
            limit = f"The included files are larger than {MOST_BYTES // 1024} KiB together."
            self._fail(entry.place, limit, "Leave something out.")
            return None
        return node, path

    def _refuse_other_keys(self, node: Mapping) -> None:
        for key, written in node.keys.items():
            if key not in (*_SHARED, _INCLUDE):
                self.faults.append(
                    Fault(
                        written.place,
                        f"{clipped(key)} cannot stand in an included file.",
                        f"It can have {listed((*_SHARED, _INCLUDE))}.",
                    )
                )

    def _join(self, key: str, node: Mapping, tree: Mapping) -> None:
        more = node.values.get(key)
        if more is None:
            return
        there = tree.values.get(key)
        if there is None and key not in tree.left_out:
            tree.keys[key], tree.values[key] = node.keys[key], more
        elif isinstance(there, Mapping) and isinstance(more, Mapping):
            self.faults += _add(more, there)
        elif isinstance(there, Sequence) and isinstance(more, Sequence):
            there.items += more.items
            there.incomplete |= more.incomplete
        else:  # whichever of the two is not what it should be is told; the first file's when built
            self.complete = False
            wanted = LIST if key == "timetable" else KEYS
            if not isinstance(more, Sequence if wanted is LIST else Mapping):
                whole = Spot(Programme, node)
                self.faults.append(wrong_shape(Spot(None, more, whole, key), wanted))

    def _fail(self, place: Place, message: str, mend: str) -> None:
        self.faults.append(Fault(place, message, mend))
        self.complete = False


def _real(path: Path) -> Path:
    return Path(os.path.realpath(path))


def _folder(way: tuple[Path, ...]) -> Path:
    return _real(way[0].parent)


def _by_way_of(way: tuple[Path, ...], path: Path) -> str:
    """How a file comes to include itself."""
    names = [each.name for each in way]
    between = names[names.index(path.name) + 1 :] if path.name in names else []
    return f"By way of {listed(between)}: take one `include` out." if between else "Take it out."


def _add(more: Mapping, there: Mapping) -> Iterator[Fault]:
    """Add names to those that are there; none may be written twice."""
    for name, key in more.keys.items():
        if name in there.keys:
            first = there.keys[name].place
            message = f"{clipped(name)} is written twice, first in {first.file}:{first.line}."
            yield Fault(key.place, message, "Take one of the two out.")
        else:
            there.keys[name], there.values[name] = key, more.values[name]
    there.left_out |= more.left_out
