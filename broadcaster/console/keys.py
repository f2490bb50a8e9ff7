"""Keys as the screen names them. A name shown is also a place to click: it presses its key."""

from collections.abc import Sequence
from typing import TypeAlias

from rich.cells import cell_len

from broadcaster.console.palette import Ink
from broadcaster.console.rows import Row

Hint: TypeAlias = tuple[str, str]
"""A key's name (or several, with spaces between), and what it does."""

PRESSED: dict[str, tuple[str, str | None]] = {
    "Enter": ("enter", None),
    "Esc": ("escape", None),
    "Tab": ("tab", None),
    "Space": ("space", " "),
    "F1": ("f1", None),
    "↑": ("up", None),
    "↓": ("down", None),
    "←": ("left", None),
    "→": ("right", None),
    "+": ("plus", "+"),
    "-": ("minus", "-"),
}
"""The terminal's name for each key, and the letter that it prints."""


def pressed(name: str) -> tuple[str, str | None] | None:
    """The key of a name, and its letter; None: it names no key."""
    if name.startswith("Ctrl+"):
        return name.lower(), None
    return PRESSED.get(name)


def key_row(keys: Sequence[Hint], key_ink: Ink, ink: Ink) -> Row:
    """What the keys do, one after the other."""
    row: Row = ()
    for key, does in keys:
        row += ((f" {key}", key_ink), (f" {does} ", ink))
    return row


def key_at(row: Row, x: int) -> tuple[str, str | None] | None:
    """The key whose name, or what it does, stands at a column; None: no key does."""
    before = ""
    for text, _ in row:
        if x < cell_len(text):
            return _named_at(text, x) or pressed(before.strip())
        x -= cell_len(text)
        before = text
    return None


def _named_at(text: str, x: int) -> tuple[str, str | None] | None:
    """The key that a run of names has at a column."""
    names = text.split()
    if not all(pressed(name) for name in names):
        return None
    place = 0
    for name in names:
        place = text.index(name, place) + len(name)
        if x <= place:
            return pressed(name)
    return pressed(names[-1]) if names else None
