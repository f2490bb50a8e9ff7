"""Text with values: `{crates_open} of four crates are open`."""

import re
from collections.abc import Callable
from dataclasses import dataclass

from broadcaster.errors import UnreadableError

_FACT = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class FactText:
    """The place in a text where a fact's value goes, and the offset of its name."""

    name: str
    offset: int


@dataclass(frozen=True, slots=True)
class Template:
    """A text in parts: words as they are, and facts to be filled in when it goes out."""

    source: str
    parts: tuple[str | FactText, ...]

    @property
    def facts(self) -> tuple[FactText, ...]:
        """The facts that the text mentions."""
        return tuple(part for part in self.parts if isinstance(part, FactText))

    def fill(self, value_of: Callable[[str], str]) -> str:
        """The text with each fact's value in its place."""
        return "".join(
            value_of(part.name) if isinstance(part, FactText) else part for part in self.parts
        )


def parse_template(value: object) -> Template:
    """Read a text; braces mark facts. Raises UnreadableError for a lone brace or an empty pair."""
    if isinstance(value, Template):
        return value
    if not isinstance(value, str):
        raise UnreadableError("A text is wanted here.", "Write it on the key's own line.")
    parts: list[str | FactText] = []
    end = 0
    for found in _FACT.finditer(value):
        name = found[1].strip()
        if not name:
            raise UnreadableError(
                "`{}` names no fact.", "Write the fact's name between the braces.", found.start()
            )
        parts.append(_plain(value, end, found.start()))
        parts.append(FactText(name, value.index(name, found.start())))
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
