"""The sign: large and unmistakable, above everything else, while it holds.

Of several the gravest hangs: the plain voice is on air; the session is held; the team has stalled.
It does not flash. Beside it stands what can be done.
"""

from collections.abc import Hashable

from broadcaster.console.lettering import columns_of, rows_of, set_large
from broadcaster.console.palette import Ink, Palette
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row, filled
from broadcaster.console.view import View
from broadcaster.units import session_clock

MARGIN = 2
BESIDE_COLUMNS = 22
"""The least that stands beside the letters."""


def sign_of(view: View) -> str:
    """What hangs there, in capitals; empty: nothing does."""
    if view.plain:
        return "PLAIN VOICE"
    if view.held:
        return "HELD"
    return "STALLED" if view.stalled else ""


class Sign(Panel):
    """The board that the sign hangs on; it takes no room while it is bare."""

    ground = "line"

    def stamp(self, scene: Scene) -> Hashable:
        """The sign, and all that stands beside it."""
        return sign_of(scene.view), _beside(scene.view)

    def rows(self, scene: Scene) -> list[Row]:
        """Large letters at the left, words at the right."""
        view, palette, (width, height) = scene.view, scene.palette, self.size
        sign = sign_of(view)
        ink = _ink(sign, palette)
        fits = columns_of(sign, 2) + 2 * MARGIN + BESIDE_COLUMNS <= width
        scale = 2 if height >= rows_of(2) and fits else 1
        letters = set_large(sign, scale)
        above = max(0, (height - len(letters)) // 2)
        words = _beside(view)
        first = above + max(0, (len(letters) - 2 * len(words) + 1) // 2)
        spacing = 2 if scale == 2 else 1
        rows: list[Row] = []
        for y in range(height):
            letter_row = letters[y - above] if 0 <= y - above < len(letters) else ""
            place, rest = divmod(y - first, spacing)
            beside = words[place] if rest == 0 and 0 <= place < len(words) else ()
            rows.append(_row(letter_row, columns_of(sign, scale), beside, ink, width))
        return rows


def _row(letters: str, columns: int, words: tuple[str, ...], ink: Ink, width: int) -> Row:
    """A row of the letters, and the runs of a sentence: keys stand in runs of their own."""
    row: Row = ((f"{' ' * MARGIN}{letters:<{columns}}{' ' * (MARGIN + 1)}", ink),)
    return filled(row + tuple((word, ink) for word in words), width, ink)


def _ink(sign: str, palette: Palette) -> Ink:
    inks = {"PLAIN VOICE": palette.sign_plain, "HELD": palette.sign_held}
    return inks.get(sign, palette.sign_stalled)


def _beside(view: View) -> tuple[tuple[str, ...], ...]:
    """Three sentences, each in runs."""
    if view.plain:
        return (
            (f"on air since {view.plain.at}",),
            ("all else is off air",),
            ("Ctrl+P", " stop it"),
        )
    if view.held:
        return (
            (f"The session stands at {session_clock(view.session_s or 0)}.",),
            ("Carrier and bed stay on air.",),
            ("Ctrl+O", " let it go on"),
        )
    return _stalled(view)


def _stalled(view: View) -> tuple[tuple[str, ...], ...]:
    if not view.stalled:
        return ()
    first, session_s = view.stalled[0], view.session_s or 0
    late = f"{first.name}: late by {session_clock(session_s - first.by_s)}"
    more = len(view.stalled) - 1
    hint, due = view.hint, view.hint_due
    given: tuple[str, ...] = ("No hint is left here.",)
    if due:
        given = (f"Hint {due.rung} of {due.of} goes out next: {due.text}",)
    elif hint:
        given = ("Ctrl+G", f" hint {hint.rung} of {hint.of}: {hint.text}")
    helpful = [way for way in view.branches if not way.gives_up]
    ways = " or ".join(f"{way.number} {way.segment}" for way in helpful[:4])
    return (
        (f"{late}{f', and {more} more' if more else ''}",),
        given,
        (f"jump: {ways}" if ways else "No exit leads on from here; jump as you see fit.",),
    )
