"""The help page: all that somebody needs who has never sat here."""

from collections.abc import Hashable

from rich.cells import cell_len

from broadcaster.console.helptext import LEAVING, PAGE
from broadcaster.console.paging import pages
from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import key_row
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row

KEY_COLUMNS = 12
MOST_COLUMNS = 92
"""Longer lines are hard to read. Common practice, no source."""


class Help(Panel):
    """The page, over everything below the message line while it is open."""

    ground = "copy"

    def stamp(self, scene: Scene) -> Hashable:
        """Where it is turned to."""
        return scene.hand.help_row

    def rows(self, scene: Scene) -> list[Row]:
        """As much of it as there is room for; it does not turn over its end."""
        palette, (width, height) = scene.palette, self.size
        stays = scene.hand.acts.stays
        lines = help_rows(min(width, MOST_COLUMNS), palette, stays=stays)
        room = max(1, height - 1)
        last = max(0, len(lines) - room)
        first = min(scene.hand.help_row or 0, last)
        if scene.hand.help_row is not None:
            scene.hand.help_row = first
        scene.hand.help_rows = room
        shown = lines[first : first + room]
        more = f"lines {first + 1} to {first + len(shown)} of {len(lines)}"
        keys = (("↑ ↓", f"{more}"), ("Esc", "close the help"))
        return [*shown, *[()] * (room - len(shown)), key_row(keys, palette, width)]


def help_rows(width: int, palette: Palette, *, stays: bool) -> list[Row]:
    """The whole page in rows: headings, keys with what they do, sentences.

    `stays`: nothing goes off air when this console is left.
    """
    rows: list[Row] = []
    for key, does in PAGE:
        words = LEAVING if stays and key == "Ctrl+Q" else does
        if not words:
            rows += [(), ((f" {key}", palette.copy_state),)]
            continue
        indent = KEY_COLUMNS if key else 2
        for number, line in enumerate(pages(words, width - indent - 2, 1, cell_len)):
            name = f"  {key}" if number == 0 else ""
            first: Row = ((f"{name:<{indent}}", palette.copy_large),)
            rows.append((*first, (f" {line.lines[0]}", palette.copy)))
    return rows
