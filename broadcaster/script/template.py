"""Text with values: `{crates_open} of four crates are open`."""

import re
from collections.abc import Callable
from dataclasses import dataclass

_FACT = re.compile(r"\{([^{}]*)\}")


@dataclass(frozen=True, slots=True)
class FactText:
    """The place in a text where a fact's value goes, and its offset in the text."""

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
    """Read a text; braces mark facts. Raises ValueError for a lone brace or an empty pair."""
    if isinstance(value, Template):
        return value
    source = str(value)
    parts: list[str | FactText] = []
    end = 0
    for found in _FACT.finditer(source):
        if not found[1].strip():
            raise ValueError("`{}` names no fact; write the fact's name between the braces.")
        parts.append(source[end : found.start()])
        parts.append(FactText(found[1].strip(), found.start()))
        end = found.end()
    parts.append(source[end:])
    if any("{" in part or "}" in part for part in parts if isinstance(part, str)):
        raise ValueError("a brace stands alone; a value is written `{fact}`, with both braces.")
    return Template(source, tuple(part for part in parts if part))
