"""A condition cut into its words."""

import re
from dataclasses import dataclass

from broadcaster.errors import UnreadableError
from broadcaster.script.condition_tree import CLOCKS, COUNTS
from broadcaster.script.durations import DURATION

MOST_WORDS = 200


def _one_of(words: tuple[str, ...]) -> str:
    longest_first = sorted(words, key=len, reverse=True)
    return "|".join(re.escape(word).replace(r"\ ", r"\s+") for word in longest_first)


_WORD = re.compile(
    rf"""\s*(?:
      (?P<duration>{DURATION})
    | (?P<number>[0-9]+(?:\.[0-9]+)?)
    | (?P<clock>(?:{_one_of(CLOCKS)})(?![A-Za-z0-9_]))
    | (?P<quoted>"[^"]*"|'[^']*')
    | (?P<asked>(?:stalled|met)(?![A-Za-z0-9_])(?:\s*\((?P<milestone>[^()]*)\))?)
    | (?P<count>(?:{_one_of(COUNTS)})(?![A-Za-z0-9_]))
    | (?P<name>[A-Za-z_][A-Za-z0-9_]*)
    | (?P<mark>==|=<|=>|<>|&&|\|\||!=|<=|>=|.)
    )""",
    re.VERBOSE,
)


@dataclass(frozen=True, slots=True)
class Word:
    """One word of a condition, and what it is."""

    kind: str
    """The group of _WORD that it is, or `end`."""
    text: str
    offset: int
    milestone: str | None = None
    """What stands in the parentheses of `stalled(...)` or `met(...)`."""


def words_of(source: str) -> list[Word]:
    """The words of a condition and, last, its end. Raises UnreadableError if there are too many."""
    written = source.rstrip()
    words = []
    for found in _WORD.finditer(written):
        kind = str(found.lastgroup)
        words.append(Word(kind, found[kind], found.start(kind), found["milestone"]))
    if len(words) > MOST_WORDS:
        raise UnreadableError(
            f"A condition of {len(words)} words is too long.", f"Up to {MOST_WORDS} are allowed."
        )
    return [*words, Word("end", "", len(written))]
