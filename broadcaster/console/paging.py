"""Cutting a text into lines and pages, and finding where in it the voice is."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Page:
    """So many lines of a text as are shown at once, and where they lie in it."""

    start: int
    lines: tuple[str, ...]


def pages(
    text: str, columns: int, lines: int, columns_of: Callable[[str], int]
) -> tuple[Page, ...]:
    """Cut a text at its spaces into pages of so many lines; a word too long for one is cut too.

    The text has single spaces only; columns_of tells the columns that a run of letters takes.
    """
    cut: list[tuple[int, str]] = []
    at = 0
    for word in text.split(" "):
        start, at = at, at + len(word) + 1
        if cut and columns_of(f"{cut[-1][1]} {word}") <= columns:
            cut[-1] = (cut[-1][0], f"{cut[-1][1]} {word}")
            continue
        while columns_of(word) > columns and len(word) > 1:
            fits = max(
                (n for n in range(1, len(word)) if columns_of(word[:n]) <= columns), default=1
            )
            cut.append((start, word[:fits]))
            start, word = start + fits, word[fits:]
        cut.append((start, word))
    groups = [cut[first : first + lines] for first in range(0, len(cut), lines)]
    return tuple(Page(group[0][0], tuple(line for _, line in group)) for group in groups)


def page_at(shown: tuple[Page, ...], offset: int) -> int:
    """Which page holds the letter at an offset."""
    return max((n for n, page in enumerate(shown) if page.start <= offset), default=0)


def word_at(text: str, progress: float) -> int:
    """Where the word begins that is on air, reckoned by time: progress from 0 to 1."""
    offset = min(int(progress * len(text)), len(text) - 1)
    return text.rfind(" ", 0, offset + 1) + 1
