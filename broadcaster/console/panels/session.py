"""Session: where it stands, the milestones, the hint that is ready, and the keys that steer it."""

from collections.abc import Hashable

from rich.cells import cell_len

from broadcaster.console.keys import Hint
from broadcaster.console.paging import pages
from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import key_row
from broadcaster.console.panels.pace import milestone_rows, words_of
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row, width_of
from broadcaster.console.view import Phase, View
from broadcaster.units import session_clock

NAME_COLUMNS = 30


class SessionSheet(Panel):
    """All about the team's session."""

    def stamp(self, scene: Scene) -> Hashable:
        """The clock in whole seconds, the milestones, the hint."""
        view = scene.view
        late = tuple(words_of(one, view) for one in view.milestones)
        return _state(view), late, (view.hint, view.hint_due), view.branches, view.restorable

    def rows(self, scene: Scene) -> list[Row]:
        """The state, the milestones, what can be done, and the keys in one row or two."""
        view, palette, (width, height) = scene.view, scene.palette, self.size
        rows: list[Row] = [((f" {_state(view)}", palette.panel_key),)]
        rows += milestone_rows(list(view.milestones), view, palette, NAME_COLUMNS)
        for told in _ready(view):
            lines = pages(told, max(1, width - 4), 1, cell_len)
            rows += [
                ((f"{'   ' if number else ' '}{line.lines[0]}", palette.panel),)
                for number, line in enumerate(lines)
            ]
        keys = _key_rows(_keys(view, stays=scene.hand.acts.stays), width, palette)
        rows = rows[: max(1, height - len(keys))]
        return [*rows, *[()] * (height - len(keys) - len(rows)), *keys]


def _state(view: View) -> str:
    if view.session_s is None:
        return f"No session yet; it is planned for {session_clock(view.session_length_s)}."
    at = session_clock(view.session_s)
    if view.phase is not Phase.ON_AIR:
        return f"The last session came to {at}."
    left = view.session_length_s - view.session_s
    words = f"{session_clock(left)} left" if left >= 0 else f"{session_clock(-left)} over time"
    going = "Held" if view.held else "Running"
    return f"{going}: {at} of {session_clock(view.session_length_s)}, {words}."


def _ready(view: View) -> list[str]:
    """The next hint, and the ways on."""
    if view.phase is not Phase.ON_AIR:
        return []
    hint, due = view.hint, view.hint_due
    told = [f"Hint {hint.rung} of {hint.of}: {hint.text}"] if hint else ["No hint is left here."]
    if due:
        told = [f"Hint {due.rung} of {due.of} goes out next: {due.text}"]
    told += [
        f"Exit to {way.number} {way.segment}{f' when {way.when}' if way.when else ''}"
        for way in view.branches
    ]
    return told


def _keys(view: View, *, stays: bool) -> list[Hint]:
    keys: list[Hint] = []
    if view.phase is Phase.STAND_BY:
        keys.append(("Ctrl+S", "begin"))
        if view.restorable:
            keys.append(("Ctrl+Z", "bring it back"))
    elif view.phase is Phase.ON_AIR:
        if view.hint:
            keys.append(("Ctrl+G", "hint"))
        keys += [("Ctrl+O", "go on" if view.held else "hold"), ("Ctrl+E", "end")]
    return [*keys, ("Ctrl+X", "reset"), ("Ctrl+Q", "leave" if stays else "off air")]


def _key_rows(keys: list[Hint], width: int, palette: Palette) -> list[Row]:
    """As many rows as the keys need."""
    rows: list[Row] = [()]
    for key in keys:
        pair = key_row((key,), palette, width)
        if rows[-1] and width_of(rows[-1] + pair) > width:
            rows.append(())
        rows[-1] += pair
    return rows
