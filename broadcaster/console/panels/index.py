"""The index: the plates of the sheets, the one on top marked. Tab turns to the next."""

from collections.abc import Hashable

from rich.cells import cell_len

from broadcaster.console.hands.sheets import Works
from broadcaster.console.palette import Palette
from broadcaster.console.panels.panel import Panel, Place, Scene
from broadcaster.console.rows import Row, width_of

SPACIOUS, NARROW = 84, 72
"""From these widths on there is more air between the plates; below the second, none."""


class Index(Panel):
    """One row above the sheets."""

    ground = "plate"

    def __init__(self, name: str) -> None:
        super().__init__(name)
        self._plates: list[tuple[int, Works]] = []

    def stamp(self, scene: Scene) -> Hashable:
        """The sheet on top, and what stands on the plates."""
        return scene.hand.works, _news(scene)

    def rows(self, scene: Scene) -> list[Row]:
        """The plates, and the key."""
        palette, width = scene.palette, self.size.width
        gap = "  " if width >= SPACIOUS else " " if width >= NARROW else ""
        row: Row = ()
        self._plates = []
        for works, words in _news(scene):
            worked = works is scene.hand.works
            ink = palette.plate_worked if worked else palette.plate
            name = words.split()[0] if width < NARROW else words
            row += ((f"{'▸' if worked else ' '}{name}{gap[:1]}", ink), (gap[1:], palette.plate))
            self._plates.append((width_of(row), works))
        return [row + _key(palette, width - width_of(row))]

    def place_at(self, x: int, y: int) -> Place | None:
        """The sheet whose plate stands there."""
        del y
        return next((Place(works) for right, works in self._plates if x < right), None)


def _news(scene: Scene) -> tuple[tuple[Works, str], ...]:
    """What stands on the plates: a name, with a mark where something waits for the operator."""
    view = scene.view
    news = {
        Works.SESSION: view.stalled,
        Works.ANNOUNCE: view.announcements,
        Works.PLAIN: view.plain,
    }
    return tuple((works, works.value.upper() + ("!" if news.get(works) else "")) for works in Works)


def _key(palette: Palette, room: int) -> Row:
    words = ("Tab", " next ")
    if room < cell_len("".join(words)):
        return ()
    return (
        (" " * (room - cell_len("".join(words))), palette.plate),
        (words[0], palette.plate_key),
        (words[1], palette.plate),
    )
