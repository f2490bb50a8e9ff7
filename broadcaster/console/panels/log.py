"""The log: the last lines of what went out and what happened, the newest at the foot."""

from collections.abc import Hashable

from broadcaster.console.hands.sheets import Works
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
