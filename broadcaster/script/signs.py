"""What goes out sign by sign: figures in groups, Morse code, and what is spelled."""

import re
from typing import Annotated

from pydantic import AfterValidator, BeforeValidator

from broadcaster.errors import UnreadableError
from broadcaster.script.alphabets import MORSE, PROSIGNS, morse_symbols, shown
from broadcaster.script.shapes import Shape
from broadcaster.script.template import IN_BRACES, Template, parse_template
from broadcaster.script.values import words


def figure_groups(value: str) -> str:
    """`41972 08310`: figures in groups with spaces between."""
    for offset, character in enumerate(value):
        if character not in "0123456789" and not character.isspace():
            raise UnreadableError(
                f"{shown(character)} is not a figure.",
                "Groups are figures with spaces between them: `41972 08310`.",
                offset,
            )
    return words(value)


def keyed(value: Template) -> Template:
    """A text that can be sent in Morse code; facts are figures or words, which can."""
    morse_symbols(_with_facts_as_figures(value))
    return value


def spelled(value: Template) -> Template:
    """A text of letters and figures without accents, and spaces."""
    for offset, character in enumerate(words(_with_facts_as_figures(value))):
        if not ((character.isascii() and character.isalnum()) or character.isspace()):
            raise UnreadableError(
                f"{shown(character)} cannot be spelled.",
                "The spelling alphabet has the letters A to Z and the figures.",
                offset,
            )
    return value


def _with_facts_as_figures(text: Template) -> str:
    """The text with a figure for each character of a `{fact}`, so that offsets stay."""
    return re.sub(r"\{[^{}]*\}", lambda fact: "0" * len(fact[0]), text.source)


_SENT = "".join(re.escape(sign) for sign in (*MORSE, *"%‰") if not sign.isalnum())
_SIGNALS = "|".join("".join(f"[{each}{each.lower()}]" for each in name) for name in PROSIGNS)

FigureGroups = Annotated[
    str, AfterValidator(figure_groups), Shape(r"[0-9\s]*[0-9][0-9\s]*", "41972 08310", ("integer",))
]
MorseText = Annotated[
    Template,
    BeforeValidator(parse_template),
    AfterValidator(keyed),
    Shape(
        rf"(?:[A-Za-zÉé0-9\s{_SENT}]|<\s*(?:{_SIGNALS})\s*>|{IN_BRACES})+", "REED <AR>", ("number",)
    ),
]
SpelledText = Annotated[
    Template,
    BeforeValidator(parse_template),
    AfterValidator(spelled),
    Shape(rf"(?:[A-Za-z0-9\s]|{IN_BRACES})+", "HERON 7", ("integer",)),
]
