"""Output: where the sound goes, whether it does, and how loud it is."""

from collections.abc import Hashable

from broadcaster.console.hands.sheets import Works
from broadcaster.console.palette import Palette
from broadcaster.console.panels.panel import Panel, Place, Scene
from broadcaster.console.rows import Row, fit, spread, width_of
from broadcaster.console.view import OutputView
from broadcaster.console.words import level_words

FLOOR_DB = -48.0
"""The left end of the level bar; the right end is full scale."""
LOST_S = 2.0
"""From here on the screen says that the output gives no word."""
LEAST_BAR, MOST_BAR = 4, 60


class Output(Panel):
    """One strip above the log."""

    ground = "panel"

    def stamp(self, scene: Scene) -> Hashable:
        """The output's words and the level in steps that show."""
        output = scene.view.output
        if output is None:
            return None
        quiet = int(output.quiet_for_s) if output.quiet_for_s >= LOST_S else 0
        heard = (output.held_peak_dbfs, output.peak_dbfs, output.rms_dbfs)
        levels = tuple(level_words(level) for level in heard)
        state = (output.name, output.playing, output.underruns, round(output.buffered_s, 2))
        return state, levels, quiet

    def place_at(self, x: int, y: int) -> Place | None:
        """The sheet that has more of it."""
        del x, y
        return Place(Works.SIGNAL)

    def rows(self, scene: Scene) -> list[Row]:
        """The strip, in the middle of the panel's height."""
        above: list[Row] = [()] * ((self.size.height - 1) // 2)
        return [*above, _strip(scene.view.output, scene.palette, self.size.width)]


def _strip(output: OutputView | None, palette: Palette, width: int) -> Row:
    name: Row = ((" OUTPUT ", palette.plate),)
    if output is None:
        return (*name, ("  no word from the output yet", palette.panel_quiet))
    if output.quiet_for_s >= LOST_S:
        lost = f" ! {output.name}: no word for {output.quiet_for_s:.0f} s"
        return (*name, (lost, palette.panel_on_air))
    playing = (
        (", playing", palette.panel) if output.playing else (" ! STOPPED", palette.panel_on_air)
    )
    underruns = f" underruns {output.underruns} "
    state: Row = (
        ("  buffer ", palette.panel_quiet),
        (f"{output.buffered_s:.2f} s ", palette.panel),
        (underruns, palette.panel_on_air if output.underruns else palette.panel),
    )
    level: Row = ((" level ", palette.panel_quiet),)
    peak = f" {level_words(output.held_peak_dbfs):>6} peak"
    left: Row = (*name, (f" {fit(output.name, 18)}", palette.panel), playing)
    taken = width_of(left) + width_of(level) + len(peak) + width_of(state)
    bar = max(LEAST_BAR, min(MOST_BAR, width - taken))
    level += (*_bar(output, bar, palette), (peak, palette.panel))
    return spread(left + level, state, width, palette.panel)


def _bar(output: OutputView, columns: int, palette: Palette) -> Row:
    """The level from FLOOR_DB to full scale: solid to the mean, a mark at the peak that is held."""
    levels = (output.rms_dbfs, output.held_peak_dbfs)
    solid, peak = (level_place(level, columns) for level in levels)
    cells = ["▄" if n < solid else "·" for n in range(columns)]
    if peak > solid:
        cells[peak - 1] = "│"
    return (("".join(cells), palette.panel_next),)


def level_place(dbfs: float, columns: int) -> int:
    """How many of a bar's columns a level takes."""
    part = (max(FLOOR_DB, min(0.0, dbfs)) - FLOOR_DB) / -FLOOR_DB
    return round(part * columns)
