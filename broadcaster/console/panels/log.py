"""The log: the last lines of what went out and what happened, the newest at the foot."""

from collections.abc import Hashable

from rich.cells import cell_len

from broadcaster.console.hands.sheets import Works
from broadcaster.console.paging import pages
from broadcaster.console.palette import Ink, Palette
from broadcaster.console.panels.panel import Panel, Place, Scene
from broadcaster.console.rows import Row
from broadcaster.console.view import LogLine, Weight

SIGNS = {
    Weight.AIRED: " ",
    Weight.CUT: "/",
    Weight.STORY: "·",
    Weight.NOTE: "·",
    Weight.REFUSED: "!",
    Weight.TROUBLE: "!",
}


class Log(Panel):
    """As many of the last lines as there is room for."""

    ground = "log"

    def stamp(self, scene: Scene) -> Hashable:
        """The log grows at its end, so its last lines tell it apart."""
        return scene.view.log[-self.size.height :]

    def place_at(self, x: int, y: int) -> Place | None:
        """The sheet that has more of it."""
        del x, y
        return Place(Works.LOG)

    def rows(self, scene: Scene) -> list[Row]:
        """The time of day, a sign, and a sentence in each."""
        palette = scene.palette
        lines = scene.view.log[-self.size.height :]
        rows: list[Row] = [(("  Nothing is in the log yet.", palette.log_quiet),)]
        return [line_row(line, palette) for line in lines] if lines else rows


def line_row(line: LogLine, palette: Palette) -> Row:
    """The time of day, a sign, and the sentence."""
    ink = _ink(line.weight, palette)
    return ((f"  {line.at} ", palette.log_quiet), (f"{SIGNS[line.weight]} {line.sentence}", ink))


def whole_line(line: LogLine, width: int, palette: Palette) -> list[Row]:
    """The same in as many rows as the sentence needs."""
    head, (words, ink) = line_row(line, palette)
    margin = cell_len(head[0]) + 2
    first, *others = pages(line.sentence, max(1, width - margin), 1, cell_len)
    rows: list[Row] = [(head, (words[:2] + first.lines[0], ink))]
    return rows + [((" " * margin, palette.log_quiet), (one.lines[0], ink)) for one in others]


def _ink(weight: Weight, palette: Palette) -> Ink:
    match weight:
        case Weight.TROUBLE | Weight.REFUSED:
            return palette.log_trouble
        case Weight.CUT:
            return palette.log_cut
        case Weight.AIRED:
            return palette.log
        case _:
            return palette.log_quiet
