"""Signal: two sliders for reception, the level meter with its peaks held, how the output does."""

from collections.abc import Hashable

from broadcaster.console.hands.sheets import Works
from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import key_row
from broadcaster.console.panels.output import LOST_S, level_place
from broadcaster.console.panels.panel import Panel, Place, Scene
from broadcaster.console.rows import Row, filled, width_of
from broadcaster.console.sliders import STEP, Slider
from broadcaster.console.view import OutputView, View
from broadcaster.console.words import level_words

MARKS_DB = (-48, -36, -24, -18, -12, -6, 0)
MARGIN = "  "
NAME_COLUMNS = 14
MARK_COLUMNS = 2
"""Columns from one mark of a slider to the next."""
KEYS = (("← →", "move"), ("Space", "as scripted"), ("↑ ↓", "which"), ("Esc", "back"))


class Signal(Panel):
    """The sliders, the meter, and below them the output."""

    def stamp(self, scene: Scene) -> Hashable:
        """The sliders, the output's words, and the levels in steps that show."""
        output, hand = scene.view.output, scene.hand
        reception = (scene.view.reception, _predicted(scene.view), hand.signal.chosen)
        if output is None:
            return reception
        levels = (output.peak_dbfs, output.held_peak_dbfs, output.rms_dbfs)
        state = (output.name, output.playing, output.underruns, round(output.buffered_s, 2))
        return reception, state, levels, int(output.quiet_for_s)

    def place_at(self, x: int, y: int) -> Place | None:
        """A slider, and the mark of it that is nearest."""
        sliders = tuple(Slider)
        if y >= len(sliders):
            return Place(Works.SIGNAL)
        mark = (x - NAME_COLUMNS) // MARK_COLUMNS
        on_scale = 0 <= mark < len(sliders[y].marks)
        return Place(Works.SIGNAL, y, mark if on_scale else None)

    def rows(self, scene: Scene) -> list[Row]:
        """The sliders; the meter, a bar two rows high where there is room; the keys."""
        view, palette, (width, height) = scene.view, scene.palette, self.size
        rows = [
            _slider(one, scene.hand.signal.chosen == number, view, palette, width)
            for number, one in enumerate(Slider)
        ]
        rows.append(((f"{MARGIN}{_predicted(view)}", palette.panel_quiet),))
        high = height > 10
        rows += [()] * high + _output(view.output, palette, width, bar_rows=1 + high)
        rows = rows[: height - 1]
        keys = key_row(KEYS, palette, width)
        return [*rows, *[()] * (height - 1 - len(rows)), keys]


def _slider(slider: Slider, chosen: bool, view: View, palette: Palette, width: int) -> Row:
    """Its name, its marks with the one that holds in brackets, and who wants it so."""
    stands, wanted = slider.stands(view.reception), slider.wanted(view.reception)
    marks = [f"{mark:g}" if mark == int(mark) else "·" for mark in slider.marks]
    scale = " " + " ".join(marks) + " "
    if stands is not None:
        place = MARK_COLUMNS * round((stands - slider.marks[0]) / STEP)
        scale = f"{scale[:place]}[{scale[place + 1]}]{scale[place + 3 :]}"
    source = "script" if wanted is None else "operator"
    words = "as it sounds" if stands is None else f"{stands:g}, {source}"
    ink = palette.chosen if chosen else palette.panel
    scale_ink = palette.chosen if chosen else palette.panel_next
    row: Row = (
        (f"{'▸' if chosen else ' '} {slider.value:<{NAME_COLUMNS - 2}}", ink),
        (scale, scale_ink),
        (f"  {words}", ink),
    )
    return filled(row, width, ink)


def _predicted(view: View) -> str:
    if view.air is None or view.air.readability is None:
        return "No readability is predicted for what is on air."
    return f"Predicted for what is on air, at full signal: {view.air.readability:.1f}."


def _output(output: OutputView | None, palette: Palette, width: int, *, bar_rows: int) -> list[Row]:
    if output is None:
        return [((" The output has given no word yet.", palette.panel_quiet),)]
    columns = max(8, width - 2 * len(MARGIN))
    bar = _bar(output, columns, palette)
    state = _state(output, palette)
    if sum(width_of(row) for row in state) <= width:
        state = [tuple(run for row in state for run in row)]
    return [*[bar] * bar_rows, _scale(columns, palette), _levels(output, palette), *state]


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
