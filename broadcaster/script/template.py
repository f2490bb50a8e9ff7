"""Text with values: `{crates_open} of four crates are open, and {time left} is left`."""

import re
from collections.abc import Callable
from dataclasses import dataclass

from broadcaster.errors import UnreadableError

TIMES = ("session time", "time left", "clock")
"""What a text can tell beside facts, as words: how long the session has lasted, how much of it is
left, and the time of day."""

IN_BRACES = r"\{[^{}]*[^{}\s][^{}]*\}"
"""A regular expression for a value's name in its braces."""

_VALUE = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class ValueText:
    """The place in a text where a fact's value or one of TIMES goes, and the offset of its name."""

    name: str
    offset: int


@dataclass(frozen=True, slots=True)
class Template:
    """A text in parts: words as they are, and values to be filled in when it goes out."""

    source: str
    parts: tuple[str | ValueText, ...]

    @property
    def facts(self) -> tuple[ValueText, ...]:
        """The facts that the text mentions, known or not."""
        return tuple(value for value in self._values() if value.name not in TIMES)

    @property
    def times(self) -> tuple[ValueText, ...]:
        """Those of TIMES that the text mentions."""
        return tuple(value for value in self._values() if value.name in TIMES)

    def _values(self) -> tuple[ValueText, ...]:
        return tuple(part for part in self.parts if isinstance(part, ValueText))

    def fill(self, value_of: Callable[[str], str]) -> str:
        """The text with each value in its place."""
        return "".join(
            value_of(part.name) if isinstance(part, ValueText) else part for part in self.parts
        )


def parse_template(value: object) -> Template:
    """Read a text; braces mark values. Raises UnreadableError for a lone brace or an empty pair."""
    if isinstance(value, Template):
        return value
    if not isinstance(value, str):
        raise UnreadableError("A text is wanted here.", "Write it on the key's own line.")
    parts: list[str | ValueText] = []
    end = 0
    for found in _VALUE.finditer(value):
        name = " ".join(found[1].split())
        if not name:
            raise UnreadableError(
                "`{}` names no fact.", "Write the fact's name between the braces.", found.start()
            )
        parts.append(_plain(value, end, found.start()))
        parts.append(ValueText(name, found.start(1) + len(found[1]) - len(found[1].lstrip())))
        end = found.end()
    parts.append(_plain(value, end, len(value)))
    return Template(value, tuple(part for part in parts if part))


def _plain(source: str, start: int, end: int) -> str:
    """A part of the text that must hold no brace."""
    lone = re.compile(r"[{}]").search(source, start, end)
    if lone:
        raise UnreadableError(
            f"A `{lone[0]}` stands alone.",
            "A fact's value is written `{fact}`, with both braces.",
            lone.start(),
        )
    return source[start:end]
