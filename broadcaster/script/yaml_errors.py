"""What the YAML parser says when it gives up, in a writer's words."""

import re
from dataclasses import dataclass
from typing import Protocol

import yaml

from broadcaster.errors import Fault, Place
from broadcaster.script.names import clipped
from broadcaster.script.quotes import WHOLE_TEXT, in_quotes


class _Mark(Protocol):
    """Where the parser was; line and column count from 0."""

    line: int
    column: int


_INDENT = "Give what belongs together the same indentation, in spaces."


_CLOSING = {"{": "}", "[": "]"}


@dataclass(frozen=True, slots=True)
class _Saying:
    """What the parser says (a pattern), and what we say; `opening` points to where it began."""

    pattern: str
    message: str
    mend: str
    opening: bool = False


# The patterns fit the wording of both of PyYAML's parsers.
_SAYINGS = (
    _Saying(
        "quoted scalar.*(end of stream|document)",
        "A quoted text begins here and is never closed.",
        "Add the closing quote.",
        opening=True,
    ),
    _Saying(
        "escape",
        "In double quotes a `\\` begins a special character, and this one does not exist.",
        "Write `\\\\` for the character itself, or use single quotes.",
    ),
    _Saying("flow", "Here is a `,` or a bracket that opens or closes nothing.", WHOLE_TEXT),
    _Saying("alias|anchor|tag", "A text cannot begin with `*`, `&` or `!`.", WHOLE_TEXT),
    _Saying("cannot start any token", "A text cannot begin with this character.", WHOLE_TEXT),
    _Saying(
        "sequence entries are not allowed",
        "A list cannot begin on the line of its key.",
        "Begin each of its items with `- ` on a line of its own below.",
    ),
    _Saying(
        "block collection",
        "This line is neither an item of the list above nor a key outside of it.",
        _INDENT,
    ),
    _Saying(
        "simple key",
        "Here is a line without a colon.",
        "Write `key: value`, or indent it if it belongs to the text above.",
        opening=True,
    ),
    _Saying("node content", "A text cannot begin with this character.", WHOLE_TEXT),
    _Saying("mapping keys are not allowed", "A text cannot begin with `? `.", WHOLE_TEXT),
    _Saying(
        "block mapping|block node|document start",
        "This line does not fit the ones above it.",
        _INDENT,
    ),
    _Saying("block scalar", "The text behind `|` or `>` is not indented as it must be.", _INDENT),
)


def yaml_fault(error: yaml.YAMLError, file: str, text: str, last: yaml.Event | None) -> Fault:
    """The fault for an error of the parser, at the place that helps most to mend it.

    `last`: what the parser found last.
    """
    if not isinstance(error, yaml.MarkedYAMLError):
        return Fault(Place(file, 1, 1), "The file cannot be read as YAML.", f"{error}.")
    said = f"{error.context or ''}: {error.problem or ''}"
    lines = text.splitlines() or [""]
    line, column = spot(error.problem_mark or error.context_mark)
    before = lines[line][:column] if line < len(lines) else ""
    tab = re.match(r" *\t\s*", lines[line]) if line < len(lines) else None
    if tab:
        return Fault(
            Place(file, line + 1, tab[0].index("\t") + 1),
            "A tab stands in the indentation.",
            "Indent with spaces only.",
        )
    unspaced = [number for number, each in enumerate(lines[: line + 1]) if lacks_space(each)]
    if unspaced:
        number = unspaced[-1]
        return missing_space(Place(file, number + 1, lines[number].index("-") + 1))
    unclosed = _unclosed_quote(file, line, last) or _unclosed_bracket(file, line, lines, error)
    if unclosed:
        return unclosed
    if "mapping values are not allowed" in said:
        return Fault(Place(file, line + 1, column + 1), *_stray_colon(before))
    if "block mapping" in said and before.strip():
        message = "Here is something behind the end of a quoted text, or of a `}` or `]`."
        return Fault(Place(file, line + 1, column + 1), message, in_quotes(before))
    within = spot(error.context_mark)[1]
    outlier = _outlier(lines, line) if "block mapping" in said and within < column else None
    if outlier is not None:
        name = clipped(lines[outlier].strip())
        message = f"{name} is indented less than its neighbours, so line {line + 1} does not fit."
        place = Place(file, outlier + 1, _indent(lines[outlier]) + 1)
        return Fault(place, message, "Give it the indentation of that line.")
    for saying in _SAYINGS:
        if re.search(saying.pattern, said):
            if saying.opening and error.context_mark:
                line, column = spot(error.context_mark)
            return Fault(Place(file, line + 1, column + 1), saying.message, saying.mend)
    message = f"This is not YAML: {error.problem or error}."
    return Fault(Place(file, line + 1, column + 1), message, _INDENT)


def _unclosed_quote(file: str, line: int, last: yaml.Event | None) -> Fault | None:
    """The fault of a quoted text that ran on to the next quote, in this line below."""
    if not isinstance(last, yaml.ScalarEvent) or last.style not in ("'", '"'):
        return None
    (first, column), (end, _) = spot(last.start_mark), spot(last.end_mark)
    if not first < end == line:
        return None
    message = f"A quoted text begins here and ends only in line {end + 1}, with more behind it."
    mend = "Add the closing quote where the text should end."
    return Fault(Place(file, first + 1, column + 1), message, mend)


def _unclosed_bracket(
    file: str, line: int, lines: list[str], error: yaml.MarkedYAMLError
) -> Fault | None:
    """The fault of a `{` or `[` that the parser left open when it gave up, in this line."""
    first, column = spot(error.context_mark)
    bracket = lines[first][column : column + 1] if first < len(lines) else ""
    if "flow" not in (error.context or "") or bracket not in _CLOSING:
        return None
    message = f"A `{bracket}` begins here and is not closed as it must be."
    mend = f"Add the `{_CLOSING[bracket]}`"
    if line == first:
        mend += f"; or is it a text? {in_quotes(lines[first])}"
    else:
        mend += (
            f": what stands in line {line + 1} cannot stand before it."
            if line < len(lines)
            else "."
        )
    return Fault(Place(file, first + 1, column + 1), message, mend)


def lacks_space(line: str) -> bool:
    """Whether a line, or a key, is a `-` followed at once by a key: `-say: Kite` or `-say`."""
    return re.match(r" *-[A-Za-z][A-Za-z ]*(:\s|:?$)", line) is not None


def missing_space(place: Place) -> Fault:
    """The fault of an item whose `-` is not followed by a space."""
    return Fault(place, "A space is missing after `-`.", "Write `- key: value`.")


def _outlier(lines: list[str], broken: int) -> int | None:
    """The line that ended what the broken line would go on with: the last one indented less.

    None if what stands before that line is not indented as the broken one, so that nothing would be
    mended by indenting it.
    """
    written = [number for number in range(broken) if lines[number].split("#")[0].strip()]
    depth = _indent(lines[broken])
    for place in range(len(written) - 1, 0, -1):
        if _indent(lines[written[place]]) < depth:
            before = (_indent(lines[number]) for number in reversed(written[:place]))
            beside = next((each for each in before if each <= depth), None)
            return written[place] if beside == depth else None
    return None


def _indent(line: str) -> int:
    return len(line) - len(line.lstrip(" "))


def spot(mark: _Mark | None) -> tuple[int, int]:
    """Line and column of a mark of the parser, from 0."""
    return (mark.line, mark.column) if mark else (0, 0)


def _stray_colon(before: str) -> tuple[str, str]:
    """What to say of a colon where no key can be, given what stands before it on its line."""
    if ": " in before:
        return "A second colon stands on this line.", in_quotes(
            before, "Put a text that has a colon in it in quotes."
        )
    return (
        "This key does not fit the line above it.",
        "Is a colon missing there, or is this line indented too far?",
    )
