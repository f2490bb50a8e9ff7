"""Signal: the level meter with its peaks held, and how the output does."""

from collections.abc import Hashable

from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import key_row
from broadcaster.console.panels.output import LOST_S, level_place
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row
from broadcaster.console.view import OutputView
from broadcaster.console.words import level_words

MARKS_DB = (-48, -36, -24, -18, -12, -6, 0)
MARGIN = "  "


class Signal(Panel):
    """The meter, and below it the output."""

    def stamp(self, scene: Scene) -> Hashable:
        """The output's words, and the levels in steps that show."""
        output = scene.view.output
        if output is None:
            return None
        levels = (output.peak_dbfs, output.held_peak_dbfs, output.rms_dbfs)
        state = (output.name, output.playing, output.underruns, round(output.buffered_s, 2))
        return state, levels, int(output.quiet_for_s)

    def rows(self, scene: Scene) -> list[Row]:
        """A bar three rows high where there is room."""
        output, palette, (width, height) = scene.view.output, scene.palette, self.size
        keys = key_row((("Esc", "back to the segments"),), palette, width)
        if output is None:
            rows: list[Row] = [((" The output has given no word yet.", palette.panel_quiet),)]
        else:
            columns = max(8, width - 2 * len(MARGIN))
            bar = _bar(output, columns, palette)
            rows = [*[bar] * (2 if height > 10 else 1), _scale(columns, palette)]
            rows += [_levels(output, palette), *_state(output, palette)]
        rows = rows[: height - 1]
        return [*rows, *[()] * (height - 1 - len(rows)), keys]


def _bar(output: OutputView, columns: int, palette: Palette) -> Row:
    """Solid to the mean, lighter to the peak, a mark at the peak that is held."""
    levels = (output.rms_dbfs, output.peak_dbfs, output.held_peak_dbfs)
    solid, peak, held = (level_place(level, columns) for level in levels)
    cells = ["█" if n < solid else "▒" if n < peak else "·" for n in range(columns)]
    if held:
        cells[held - 1] = "┃"
    return ((MARGIN, palette.panel), ("".join(cells), palette.panel_next))


def _scale(columns: int, palette: Palette) -> Row:
    """The figures under the bar, each with its last digit at its level."""
    figures = " " * columns
    for level in MARKS_DB:
        figure = f"{level}"
        place = max(0, level_place(level, columns) - len(figure))
        if not figures[max(0, place - 1) : place + len(figure)].strip():
            figures = figures[:place] + figure + figures[place + len(figure) :]
    return ((MARGIN, palette.panel), (figures, palette.panel_quiet))


def _levels(output: OutputView, palette: Palette) -> Row:
    return (
        (f"{MARGIN}peak {level_words(output.peak_dbfs):>6}", palette.panel),
        (f"   held {level_words(output.held_peak_dbfs):>6}", palette.panel_key),
        (f"   mean {level_words(output.rms_dbfs):>6}", palette.panel),
        ("   of full scale", palette.panel_quiet),
    )


def _state(output: OutputView, palette: Palette) -> list[Row]:
    playing = "plays" if output.playing else "! HAS STOPPED"
    if output.quiet_for_s >= LOST_S:
        playing = f"! has given no word for {output.quiet_for_s:.0f} s"
    well = output.playing and output.quiet_for_s < LOST_S
    runs = (
        "it never ran short" if not output.underruns else f"! it ran short {output.underruns} times"
    )
    return [
        ((f"{MARGIN}{output.name} {playing}", palette.panel if well else palette.panel_on_air),),
        (
            (f"{MARGIN}{output.buffered_s:.2f} s are ready for it; ", palette.panel),
            (runs, palette.panel_on_air if output.underruns else palette.panel),
        ),
    ]
