"""Rows: what a panel shows, as plain values that the screen and the picture both draw."""

from typing import TypeAlias

from rich.cells import cell_len, set_cell_size

from broadcaster.console.palette import Ink

Row: TypeAlias = tuple[tuple[str, Ink], ...]
"""One row of a panel: runs of text, each with its ink."""


def width_of(row: Row) -> int:
    """The columns that a row takes."""
    return sum(cell_len(text) for text, _ in row)


def fit(text: str, columns: int) -> str:
    """The text in at most so many columns; what does not fit gives way to an ellipsis."""
    if cell_len(text) <= columns:
        return text
    return set_cell_size(text, columns - 1).rstrip() + "…" if columns > 0 else ""


def column(text: str, columns: int) -> str:
    """The text in exactly so many columns."""
    return set_cell_size(fit(text, columns), max(0, columns))


def filled(row: Row, columns: int, ground: Ink) -> Row:
    """The row in exactly so many columns: cut at the right, or filled with the ground."""
    shown: list[tuple[str, Ink]] = []
    left = columns
    for text, ink in row:
        if cell_len(text) > left:
            text = fit(text, left)
        if text:
            shown.append((text, ink))
            left -= cell_len(text)
    if left > 0:
        shown.append((" " * left, ground))
    return tuple(shown)


def spread(left: Row, right: Row, columns: int, ground: Ink) -> Row:
    """Two rows in one, the second at the right edge; the first gives way where both do not fit."""
    return filled(left, columns - width_of(right), ground) + right


def plain(row: Row) -> str:
    """The row's text alone."""
    return "".join(text for text, _ in row)
