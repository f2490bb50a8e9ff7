"""The tuning dial: who and where the station is, the session clock, and the item's needle."""

from collections.abc import Hashable

from broadcaster.console.lettering import can_be_set, columns_of, rows_of, set_large
from broadcaster.console.palette import Palette
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row, fit, spread
from broadcaster.console.view import AirView, Phase, View
from broadcaster.console.words import frequency_words
from broadcaster.units import session_clock

MARGIN = 2
STEPS_S = (0.1, 0.2, 0.5, 1, 2, 5, 10, 15, 30, 60, 120, 300, 600, 1800, 3600)
"""Distances that the scale may have between two marks."""
MARK_COLUMNS = 2
FIGURE_COLUMNS = 8
"""The least columns between two marks, and between two figures."""
UNIT_COLUMNS = 60
"""From this width on the scale says what it measures."""
TALL, TALLER = 6, 9
"""From these heights on, callsign and clock are in large lettering, and in lettering twice that."""
SIGNS = {Phase.ON_AIR: "● ON AIR", Phase.STAND_BY: "○ STAND BY", Phase.OFF_AIR: "× OFF AIR"}


class Dial(Panel):
    """The band across the top."""

    ground = "dial"

    def stamp(self, scene: Scene) -> Hashable:
        """The needle's place, the clock and the state."""
        view, width = scene.view, self.size.width - 2 * MARGIN
        length = view.air.length_s if view.air else None
        clock = int(view.session_s) if view.session_s is not None else None
        return view.phase, view.held, clock, length, _needle(view.air, width), view.callsign

    def rows(self, scene: Scene) -> list[Row]:
        """Names above, the scale below."""
        view, palette, (width, height) = scene.view, scene.palette, self.size
        large = height >= TALL and can_be_set(view.callsign)
        scale = 2 if height >= TALLER else 1
        names = (
            _large_names(view, palette, width, scale) if large else [_names(view, palette, width)]
        )
        return names + _scale(view.air, palette, width)


def _session(view: View) -> tuple[str, str]:
    """The session clock, and what is left of the session, in words."""
    if view.session_s is None:
        return "0:00", f"planned for {session_clock(view.session_length_s)}"
    left = view.session_length_s - view.session_s
    over = f"{session_clock(-left)} over time" if left < 0 else f"{session_clock(left)} left"
    if view.phase is not Phase.ON_AIR:
        return session_clock(view.session_s), "ended"
    return session_clock(view.session_s), f"held, {over}" if view.held else over


def _names(view: View, palette: Palette, width: int) -> Row:
    clock, left = _session(view)
    state = (
        (f"{SIGNS[view.phase]}  ", palette.needle),
        ("session ", palette.dial_quiet),
        (clock, palette.dial_strong),
        (f"  {left}{' ' * MARGIN}", palette.dial_quiet),
    )
    names = (
        (" " * MARGIN + view.callsign.upper(), palette.dial_strong),
        (f"  {frequency_words(view.frequency_hz)}  ", palette.dial),
        (view.programme, palette.dial_quiet),
    )
    return spread(names, state, width, palette.dial)


def _large_names(view: View, palette: Palette, width: int, scale: int) -> list[Row]:
    """Callsign and clock large, with the smaller words between them; one row of air above."""
    clock, left = _session(view)
    beside = (
        (
            frequency_words(view.frequency_hz),
            palette.dial_strong,
            SIGNS[view.phase],
            palette.needle,
        ),
        (view.programme, palette.dial, "session", palette.dial_quiet),
        ("", palette.dial, left, palette.dial),
    )
    callsign = view.callsign.upper()
    between = width - columns_of(callsign, scale) - columns_of(clock, scale) - 2 * MARGIN - 8
    rows: list[Row] = [()]
    for number in range(rows_of(scale)):
        name, name_ink, state, state_ink = beside[number // scale]
        if number % scale:
            name = state = ""
        left_half = (
            (" " * MARGIN + set_large(callsign, scale)[number] + "   ", palette.dial_strong),
            (fit(name, between - len(state)), name_ink),
        )
        right_half = (
            (state + "   ", state_ink),
            (set_large(clock, scale)[number] + " " * MARGIN, palette.dial_strong),
        )
        rows.append(spread(left_half, right_half, width, palette.dial))
    return rows


def _needle(air: AirView | None, columns: int) -> int:
    """The needle's place in half columns from the left end of the scale."""
    return int(air.progress * (2 * columns - 1)) if air else 0


def _scale(air: AirView | None, palette: Palette, width: int) -> list[Row]:
    """The marks with the needle over them, and the figures below."""
    columns = width - 2 * MARGIN
    if air is None or air.length_s <= 0 or columns < FIGURE_COLUMNS:
        return [((" " * MARGIN + "─" * columns, palette.dial_quiet),)]
    half = _needle(air, columns)
    needle = "▐" if half % 2 else "▌"
    return [
        (
            (" " * MARGIN + row[: half // 2], before),
            (needle, palette.needle),
            (row[half // 2 + 1 :], palette.dial_quiet),
        )
        for row, before in zip(
            engraved(air.length_s, columns), (palette.dial, palette.dial_quiet), strict=True
        )
    ]


def engraved(length_s: float, columns: int) -> tuple[str, str]:
    """The marks and the figures of a scale that is length_s seconds long, each `columns` wide."""
    per_column = length_s / columns
    fine = next((s for s in STEPS_S if s >= MARK_COLUMNS * per_column), STEPS_S[-1])
    coarse = next((s for s in STEPS_S if s >= FIGURE_COLUMNS * per_column), STEPS_S[-1])
    marks, figures = [" "] * columns, " " * columns
    unit = " s" if length_s < 60 else ""
    if columns >= UNIT_COLUMNS:
        unit += " of this item"
    for number in range(int(length_s / fine) + 1):
        marks[min(columns - 1, round(number * fine / per_column))] = "╷"
    for number in range(int(length_s / coarse) + 1):
        place = min(columns - 1, round(number * coarse / per_column))
        seconds = number * coarse
        figure = f"{seconds:g}" if seconds < 60 else session_clock(seconds)
        marks[place] = "│"
        if place + len(figure) <= columns - len(unit):
            figures = figures[:place] + figure + figures[place + len(figure) :]
    return "".join(marks), figures[: columns - len(unit)] + unit
