"""The log as a sheet: narrowed to a kind of line or to words, and read back as far as it goes."""

from collections.abc import Hashable

from broadcaster.console.hands.reading import Show
from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import key_row
from broadcaster.console.panels.log import whole_line
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row, filled


class LogSheet(Panel):
    """The filter, the lines, the keys."""

    ground = "log"

    def stamp(self, scene: Scene) -> Hashable:
        """The filter, the place, and the lines that pass."""
        hand = scene.hand.log
        return hand.show, hand.wanted, hand.back, scene.view.log[-1:], len(scene.view.log)

    def rows(self, scene: Scene) -> list[Row]:
        """The newest line at the foot, unless the operator reads back."""
        hand, palette, (width, height) = scene.hand.log, scene.palette, self.size
        lines = hand.lines(scene.view.log)
        last = max(0, len(lines) - hand.back)
        room = max(1, height - 2)
        first = max(0, last - room)
        title = _title(hand.show, hand.wanted, palette)
        where = f"  {len(lines)} lines" + (f", {hand.back} later ones below" if hand.back else "")
        title += ((where, palette.panel_quiet),)
        shown = [row for line in lines[first:last] for row in whole_line(line, width, palette)]
        shown = shown[-room:]
        if not shown:
            shown = [(("  No line is like that.", palette.log_quiet),)]
        keys = (("← →", "which lines"), ("↑ ↓", "read back"), ("Esc", "back"))
        rows = [filled(title, width, palette.panel), *shown, *[()] * (room - len(shown))]
        return [*rows, filled(key_row(keys, palette, width), width, palette.panel)]


def _title(show: Show, wanted: str, palette: Palette) -> Row:
    """The kinds of line, the one shown marked; and the words that are looked for."""
    row: Row = ()
    for kind in Show:
        ink = palette.chosen if kind is show else palette.panel_quiet
        row += ((f"{'▸' if kind is show else ' '}{kind.value} ", ink),)
    find = f" find {wanted}_" if wanted else " or type words"
    return (*row, (find, palette.panel))
