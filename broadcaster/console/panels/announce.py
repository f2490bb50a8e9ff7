"""Announce: what the operator writes is spoken in the station's voice and sound."""

from collections.abc import Hashable

from broadcaster.console.hands.sheets import Works
from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import key_row
from broadcaster.console.panels.entry import entry_rows
from broadcaster.console.panels.panel import Panel, Place, Scene
from broadcaster.console.rows import Row, filled, fit, spread
from broadcaster.console.view import Phase, View
from broadcaster.units import session_clock

LEAST_ENTRY, MOST_ENTRY = 2, 4


class Announcing(Panel):
    """The line, what waits, and what was said before."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._first_spoken = 0

    def stamp(self, scene: Scene) -> Hashable:
        """What is written, what waits, what was said."""
        view, hand = scene.view, scene.hand.announce
        said = (view.spoken, view.announcements, _when(view), view.clue_at_stake)
        return said, hand.draft.text, hand.draft.cursor, hand.chosen

    def place_at(self, x: int, y: int) -> Place | None:
        """What was said before can be taken again."""
        del x
        return Place(Works.ANNOUNCE, max(0, y - self._first_spoken + 1))

    def rows(self, scene: Scene) -> list[Row]:
        """From the line down."""
        view, hand, palette, (width, height) = scene.view, scene.hand, scene.palette, self.size
        entry = min(LEAST_ENTRY if height < 12 else MOST_ENTRY, max(1, height - 2))
        rows: list[Row] = [_title(view, width, palette)]
        rows += entry_rows(hand.announce.draft, width, entry, palette, cursor=True)
        if view.clue_at_stake:
            told = f"  ◆ Now would cut the clue {view.clue_at_stake!r}; it is sent again after."
            rows.append(((told, palette.panel_on_air),))
        self._first_spoken = len(rows)
        for number, one in enumerate(view.spoken, start=1):
            chosen = number == hand.announce.chosen
            ink = palette.chosen if chosen else palette.panel
            sign = "▸" if chosen else " "
            rows.append(filled(((f"{sign} {one.at} {one.text}", ink),), width, ink))
        rows = rows[: height - 1]
        return [*rows, *[()] * (height - 1 - len(rows)), _keys(scene, palette, width)]


def _title(view: View, width: int, palette: Palette) -> Row:
    if not view.announcements:
        name = view.callsign
        return ((f" Write what {name} is to say, in its voice and sound.", palette.panel_quiet),)
    count = len(view.announcements)
    waits: Row = (
        (f" waits{_when(view)} ", palette.panel_next),
        ("Ctrl+Z", palette.panel_key),
        (" take back ", palette.panel_quiet),
    )
    words = f" {count}: {view.announcements[-1]}" if count > 1 else f" {view.announcements[-1]}"
    return spread(((fit(words, width - 34), palette.panel),), waits, width, palette.panel)


def _when(view: View) -> str:
    if not view.announcements or view.air is None or view.phase is Phase.OFF_AIR:
        return ""
    return f", in {session_clock(view.air.left_s)}"


def _keys(scene: Scene, palette: Palette, width: int) -> Row:
    keys = [("Enter", "after this item"), ("Ctrl+N", "now")]
    if scene.hand.acts.monitor:
        keys.append(("Ctrl+L", "hear it first"))
    return key_row([*keys, ("↑ ↓", "said before"), ("Esc", "back")], palette, width)
