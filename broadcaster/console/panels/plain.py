"""Plain voice: for the real world, and not for the game."""

from collections.abc import Hashable

from rich.cells import cell_len

from broadcaster.console.hands.sheets import Works
from broadcaster.console.paging import pages
from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import key_row
from broadcaster.console.panels.entry import entry_rows
from broadcaster.console.panels.panel import Panel, Place, Scene
from broadcaster.console.rows import Row, filled

CAUTION = (
    "This never replaces the venue's own alarm and evacuation arrangements.",
    "It is loud. Whoever does not listen does not hear it: go and tell them, too.",
)
PREPARED_ROWS = 2


class PlainVoiceSheet(Panel):
    """The caution, the two texts, and the keys."""

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._own_row = 0

    def stamp(self, scene: Scene) -> Hashable:
        """What would be said, and whether it is."""
        hand = scene.hand.plain
        draft = (hand.draft.text, hand.draft.cursor)
        return draft, hand.chosen, scene.view.plain, scene.view.plain_text

    def place_at(self, x: int, y: int) -> Place | None:
        """The two texts."""
        del x
        return Place(Works.PLAIN, int(y >= self._own_row))

    def rows(self, scene: Scene) -> list[Row]:
        """The caution stands first, and gives way to what is written where there is little room."""
        hand, palette, (width, height) = scene.hand.plain, scene.palette, self.size
        rows: list[Row] = [
            ((f" {'!' if number == 0 else ' '} {line}", palette.panel_on_air),)
            for told in CAUTION
            for number, line in enumerate(_wrapped(told, width - 4))
        ]
        rows += [()] * (height > 10)
        room = height - len(rows) - 3
        for text in _wrapped(f"prepared: {scene.view.plain_text}", width - 4)[: max(1, room)]:
            rows.append(_choice(text, hand.chosen == 0, width, palette))
        self._own_row = len(rows)
        rows.append(_choice("in your own words:", hand.chosen == 1, width, palette))
        left = max(1, min(3, height - 1 - len(rows)))
        rows += entry_rows(hand.draft, width, left, palette, cursor=hand.chosen == 1)
        over = max(0, len(rows) - (height - 1)) if hand.chosen else 0
        self._own_row -= over
        rows = rows[over:][: height - 1]
        return [*rows, *[()] * (height - 1 - len(rows)), _keys(scene, palette, width)]


def _wrapped(text: str, columns: int) -> list[str]:
    return [page.lines[0] for page in pages(text, max(1, columns), 1, cell_len)]


def _choice(words: str, chosen: bool, width: int, palette: Palette) -> Row:
    ink = palette.chosen if chosen else palette.panel
    return filled(((f"{'▸' if chosen else ' '} {words}", ink),), width, ink)


def _keys(scene: Scene, palette: Palette, width: int) -> Row:
    speak = ("Ctrl+P", "twice, or held: speak")
    if scene.hand.plain.chosen:
        speak = ("Enter", "twice: speak in these words")
    keys = (speak, ("↑ ↓", "which text"), ("Esc", "back"))
    if scene.view.plain:
        keys = (("Ctrl+P", "then Enter: stop it"), ("Ctrl+O", "go on after"), ("Esc", "back"))
    return key_row(keys, palette, width)
