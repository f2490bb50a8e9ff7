"""A panel whose lines are chosen with the arrow keys: a label plate, the lines, the keys."""

from collections.abc import Sequence
from dataclasses import dataclass

from broadcaster.console.hands.sheets import Works
from broadcaster.console.keys import Hint
from broadcaster.console.keys import key_row as any_key_row
from broadcaster.console.palette import Ink, Palette
from broadcaster.console.panels.panel import Panel, Place
from broadcaster.console.rows import Row, filled, spread, width_of


@dataclass(frozen=True, slots=True)
class Line:
    """One line that can be chosen: words, and a note beside them."""

    words: str
    note: str
    ink: Ink
    note_ink: Ink


class ChoicePanel(Panel):
    """The frame that segments and facts share. `works`: the sheet whose lines they are."""

    works = Works.SEGMENTS

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._lines_at: dict[int, int] = {}

    def place_at(self, x: int, y: int) -> Place | None:
        """The line that stands there, else the sheet."""
        del x
        return Place(self.works, self._lines_at.get(y))

    def framed(
        self,
        title: Row,
        lines: Sequence[Line],
        chosen: int | None,
        keys: Row,
        palette: Palette,
        *,
        worked: bool,
    ) -> list[Row]:
        """Title, the lines around the chosen one (counted from 0), and the keys in the last row."""
        width, height = self.size
        room = max(1, height - 2)
        first = max(0, min((chosen or 0) - room // 2, len(lines) - room))
        last = min(first + room, len(lines))
        if last - first < len(lines):
            count: Row = ((f" {first + 1} to {last} of {len(lines)} ", palette.panel_quiet),)
            title = spread(title, count, width, palette.panel)
        self._lines_at = {1 + number - first: number for number in range(first, last)}
        shown = [
            _row(lines[number], number == chosen, worked, width, palette)
            for number in range(first, last)
        ]
        return [title, *shown, *[()] * (room - len(shown)), keys]


def _row(line: Line, chosen: bool, worked: bool, width: int, palette: Palette) -> Row:
    """The chosen line has an arrow, and an ink of its own across the whole panel."""
    ink, note_ink = line.ink, line.note_ink
    if chosen:
        ink = note_ink = palette.chosen if worked else palette.chosen_idle
    words = f"{'▸' if chosen else ' '}{line.words} "
    return (*filled(((words, ink), (line.note, note_ink)), width - 1, note_ink), (" ", note_ink))


def plate(words: str, worked: bool, palette: Palette) -> Row:
    """The label plate of a panel; the panel that the keys work on has the arrow."""
    if worked:
        return ((f" ▸ {words} ", palette.plate_worked),)
    return ((f"   {words} ", palette.plate),)


def key_row(keys: Sequence[Hint], palette: Palette, columns: int) -> Row:
    """What the keys do here: the first, and of the others those that fit whole."""
    row: Row = ()
    for key in keys:
        more = any_key_row((key,), palette.panel_key, palette.panel_quiet)
        if not row or width_of(row + more) <= columns:
            row += more
    return row
