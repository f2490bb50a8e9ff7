"""A YAML file as a tree of plain text, in which every key and value knows its place.

No value is interpreted: `no`, `1e3`, `12:30` and `08310` stay the text that was typed. Of YAML we
take mappings, lists and text; what else it has (tags, anchors, aliases, merge keys, several
documents) is refused, as it would hide from a reader what is written.
"""

import re
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any, NoReturn, TypeAlias

import yaml

from broadcaster.errors import Fault, Place, ScriptError
from broadcaster.script.alphabets import shown
from broadcaster.script.names import clipped
from broadcaster.script.quotes import in_quotes
from broadcaster.script.source import strange_character
from broadcaster.script.yaml_errors import lacks_space, missing_space, spot, yaml_fault

MOST_NESTING = 20
MOST_VALUES = 100_000

# The C parser is some ten times as fast; the two agree on what we take of YAML.
_LOADER: Any = getattr(yaml, "CSafeLoader", yaml.SafeLoader)


@dataclass(slots=True)
class Scalar:
    """A text."""

    place: Place
    text: str
    text_column: int | None = None
    """The column of the text's first character, where each further one is a column further."""
    comment: Place | None = None
    """Where a comment begins that follows the text without quotes as a word of it would: one space
    before its `#`, none behind."""

    def place_of(self, offset: int) -> Place:
        """Where a character of the text stands, as nearly as that can be told."""
        if self.text_column is None:
            return self.place
        return Place(self.place.file, self.place.line, self.text_column + offset)


@dataclass(slots=True)
class Sequence:
    """A list."""

    place: Place
    items: list["Node"] = field(default_factory=list)
    incomplete: bool = False
    """Whether items were left out because they are faulty."""


@dataclass(slots=True)
class Mapping:
    """Keys and what stands behind them, in their order."""

    place: Place
    keys: dict[str, Scalar] = field(default_factory=dict)
    values: dict[str, "Node"] = field(default_factory=dict)
    left_out: set[str] = field(default_factory=set)
    """Keys that were written, and left out because they are faulty."""


Node: TypeAlias = Scalar | Sequence | Mapping


def read_tree(text: str, path: Path, *, may_be_empty: bool = False) -> tuple[Node, list[Fault]]:
    """The tree of a text, and the faults beside which it could still be read.

    Raises ScriptError where the text is no YAML, empty (unless it may be), or beyond our limits.
    """
    planter = _Planter(str(path), text)
    event: yaml.Event | None = None
    try:
        for event in yaml.parse(text, Loader=_LOADER):
            planter.take(event)
    except yaml.YAMLError as error:
        fault = yaml_fault(error, str(path), text, event)
        raise ScriptError([*planter.faults, fault]) from None
    return planter.whole(may_be_empty=may_be_empty), planter.faults


@dataclass(slots=True)
class _Branch:
    """A mapping or list that is still growing, and in a mapping the key that waits for a value."""

    node: Sequence | Mapping
    in_braces: bool = False
    """Whether it is a mapping between `{` and `}`."""
    cut: bool = False
    """Whether a comma that cuts a text in it has been told of."""
    at_value: bool = False
    key: Scalar | None = None
    """None where the key cannot be used and what stands behind it is dropped."""


class _Planter:
    """Takes the parser's events one by one and grows the tree."""

    def __init__(self, file: str, text: str) -> None:
        self.faults: list[Fault] = []
        self._file = file
        self._lines = text.splitlines()
        self._root: Node | None = None
        self._branches: list[_Branch] = []
        self._values = 0

    def whole(self, *, may_be_empty: bool) -> Node:
        nothing = isinstance(self._root, Scalar) and not self._root.text  # `---` alone
        if self._root is None or nothing:
            place = Place(self._file, 1, 1)
            if may_be_empty:
                return Mapping(place)
            self._stop(place, "Nothing is written in the file.", "")
        return self._root

    def take(self, event: yaml.Event) -> None:
        line, column = spot(event.start_mark)
        place = Place(self._file, line + 1, column + 1)
        match event:
            case yaml.DocumentStartEvent() if self._root is not None:
                self._stop(place, "A second document begins here.", "One file is one document.")
            case yaml.ScalarEvent() if self._is_cut_off(event):
                self._refuse_comma(event.value, place)
                self._attach(None, place)
            case yaml.ScalarEvent():
                self._refuse_extras(event, place)
                only_tag = event.tag is not None and not event.value
                self._attach(None if only_tag else self._scalar(event, place), place)
            case yaml.SequenceStartEvent():
                self._refuse_extras(event, place)
                self._grow(Sequence(place))
            case yaml.MappingStartEvent():
                self._refuse_extras(event, place)
                self._grow(Mapping(place), in_braces=bool(event.flow_style))
            case yaml.AliasEvent():
                self._fault(
                    place,
                    f"`*{event.anchor}` is an alias, which a script cannot have.",
                    "Write out what is meant; if it is a text, put it in quotes.",
                )
                self._attach(None, place)
            case yaml.SequenceEndEvent() | yaml.MappingEndEvent():
                self._branches.pop()

    def _scalar(self, event: yaml.ScalarEvent, place: Place) -> Scalar | None:
        strange = strange_character(event.value)
        if strange is not None:
            self._fault(
                place,
                f"The text has a character that is no text: {shown(event.value[strange])}.",
                "Take it out.",
            )
            return None
        end_line, end_column = spot(event.end_mark)
        on_one_line = end_line + 1 == place.line and event.style not in ("|", ">")
        if not event.style:
            column = place.column if on_one_line else None
            return Scalar(place, event.value, column, self._comment(end_line, end_column))
        if not on_one_line:
            return Scalar(place, event.value)
        between_quotes = self._lines[end_line][place.column : end_column - 1]
        as_written = between_quotes == event.value
        return Scalar(place, event.value, place.column + 1 if as_written else None)

    def _comment(self, line: int, column: int) -> Place | None:
        """A comment that follows as a word would where a text without quotes ends."""
        rest = self._lines[line][column:] if line < len(self._lines) else ""
        close = re.match(r" #\S", rest)
        return Place(self._file, line + 1, column + 2) if close else None

    def _refuse_extras(self, event: yaml.NodeEvent, place: Place) -> None:
        if event.anchor is not None:
            self._fault(
                place,
                f"`&{event.anchor}` is an anchor, which a script cannot have.",
                "Take it out; if it is a text, put it in quotes.",
            )
        tag = getattr(event, "tag", None)
        if tag is not None:
            written = tag.replace("tag:yaml.org,2002:", "!!", 1)
            self._fault(
                place,
                f"{clipped(written)} is a tag, which a script cannot have.",
                "Take it out; if it is a text, put it in quotes; in a condition, write `not`.",
            )

    def _is_cut_off(self, event: yaml.ScalarEvent) -> bool:
        """Whether it stands where a key should be, cut off from the text before it by a comma."""
        branch = self._branches[-1] if self._branches else None
        node = branch.node if branch and branch.in_braces and not branch.at_value else None
        line, column = spot(event.end_mark)
        if branch is None or not isinstance(node, Mapping):
            return False
        if self._lines[line][column:].lstrip().startswith(":"):
            return False
        value = next(reversed(node.values.values()), None)
        return branch.cut or (isinstance(value, Scalar) and self._is_bare(value))

    def _is_bare(self, text: Scalar) -> bool:
        """Whether a text has no quotes around it, and is not empty."""
        written = self._lines[text.place.line - 1][text.place.column - 1 :]
        return text.text != "" and not written.startswith(("'", '"'))

    def _refuse_comma(self, behind: str, place: Place) -> None:
        """Say so once for a mapping, and leave out the text that is not whole."""
        branch = self._branches[-1]
        if branch.cut or not isinstance(branch.node, Mapping):
            return
        branch.cut = True
        key, text = branch.node.values.popitem()
        branch.node.left_out.add(branch.node.keys.pop(key).text)
        message = f"A comma ends a text in braces: {clipped(behind)} is read as a key."
        mend = "Put a text that has a comma in quotes, a list in `[ ]`; a key has a colon."
        self._fault(place, message, in_quotes(text.text if isinstance(text, Scalar) else "", mend))

    def _grow(self, node: Sequence | Mapping, *, in_braces: bool = False) -> None:
        self._attach(node, node.place)
        self._branches.append(_Branch(node, in_braces))
        if len(self._branches) > MOST_NESTING:
            self._stop(
                node.place,
                f"This is nested deeper than {MOST_NESTING} levels.",
                "Write it flatter.",
            )

    def _attach(self, node: Node | None, place: Place) -> None:
        """Puts a node where it belongs; None stands for one that cannot be used."""
        self._values += 1
        if self._values > MOST_VALUES:
            self._stop(place, f"The file has more than {MOST_VALUES} values.", "Is it a script?")
        if not self._branches:
            self._root = node
            return
        branch = self._branches[-1]
        if isinstance(branch.node, Sequence):
            if node is None:
                branch.node.incomplete = True
            else:
                branch.node.items.append(node)
        elif branch.at_value:
            branch.at_value = False
            self._put(branch.node, branch.key, node)
        else:
            branch.at_value = True
            branch.key = self._key(branch.node, node, place)

    def _put(self, mapping: Mapping, key: Scalar | None, value: Node | None) -> None:
        if key is None:
            return
        if value is None:
            mapping.left_out.add(key.text)
        else:
            mapping.keys[key.text] = key
            mapping.values[key.text] = value

    def _key(self, mapping: Mapping, key: Node | None, place: Place) -> Scalar | None:
        """The key, if it can be one."""
        if not isinstance(key, Scalar):
            if key is not None:
                self._fault(place, "A key is a text, not a list or mapping.", "Write `key: value`.")
            return None
        if not key.text.strip():
            self._fault(place, "There is no key before the colon.", "Write `key: value`.")
            return None
        if key.text == "<<":
            self._fault(place, "`<<` is a merge key, which a script cannot have.", "Take it out.")
            return None
        if key.text in mapping.keys or key.text in mapping.left_out:
            if lacks_space(key.text):
                self.faults.append(missing_space(place))
                return None
            first = mapping.keys.get(key.text)
            where = f", first in line {first.place.line}" if first else ""
            self._fault(
                place, f"{clipped(key.text)} is written twice{where}.", "Take one of the two out."
            )
            return None
        return key

    def _fault(self, place: Place, message: str, mend: str) -> None:
        self.faults.append(Fault(place, message, mend))

    def _stop(self, place: Place, message: str, mend: str) -> NoReturn:
        raise ScriptError([*self.faults, Fault(place, message, mend)])
