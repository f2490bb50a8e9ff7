"""What all panels share: a panel turns the scene into rows, and redraws the rows that changed."""

from collections.abc import Callable, Hashable
from dataclasses import dataclass
from functools import lru_cache

from rich.segment import Segment
from rich.style import Style
from textual.geometry import Region
from textual.strip import Strip
from textual.widget import Widget

from broadcaster.console.hand import Hand
from broadcaster.console.hands.sheets import Works
from broadcaster.console.keys import key_at
from broadcaster.console.palette import Ink, Palette
from broadcaster.console.rows import Row, filled
from broadcaster.console.view import View


@dataclass(frozen=True, slots=True)
class Scene:
    """What is shown, where the operator's hand is, and in which light."""

    view: View
    hand: Hand
    palette: Palette


@dataclass(frozen=True, slots=True)
class Place:
    """What a click means that falls on no key: a sheet, a line of it, a mark of the line's slider.

    Lines and marks are counted from 0.
    """

    works: Works
    line: int | None = None
    mark: int | None = None


class Panel(Widget):
    """A part of the screen. `ground` names the ink of whatever is left empty.

    The toolkit asks it for its rows whenever it likes, and would end with any error that it meets:
    so whatever a panel does on the way is guarded, see `stumble`.
    """

    ALLOW_SELECT = False
    ground = "panel"

    def __init__(self, name: str) -> None:
        super().__init__(id=name)
        self.shown: tuple[Row, ...] = ()
        """The rows as they are on the screen, each as wide as the panel."""
        self._stamp: Hashable = None
        self.stumble: Callable[[Exception], None] = _raise
        """Who is told of an error."""

    def stamp(self, scene: Scene) -> Hashable:
        """Whatever the rows depend on, beside the size and the palette."""
        raise NotImplementedError

    def rows(self, scene: Scene) -> list[Row]:
        """The rows, from the top; those beyond the height are not shown."""
        raise NotImplementedError

    def show(self, scene: Scene) -> None:
        """Bring the panel up to the scene, with as little drawing as may be."""
        width, height = self.size
        stamp = (width, height, scene.palette, self.stamp(scene))
        if stamp == self._stamp:
            return
        ground = scene.palette.inks()[self.ground]
        rows = self.rows(scene)[:height]
        rows += [()] * (height - len(rows))
        shown = tuple(filled(row, width, ground) for row in rows)
        was, self.shown, self._stamp = self.shown, shown, stamp
        if len(was) != len(shown):
            self.refresh()
            return
        changed = [Region(0, y, width, 1) for y in range(height) if was[y] != shown[y]]
        if changed:
            self.refresh(*changed)

    def place_at(self, x: int, y: int) -> Place | None:
        """What a click there means, if no key stands there."""
        del x, y
        return None

    def key_at(self, x: int, y: int) -> tuple[str, str | None] | None:
        """The key that stands there, and its letter; None: none does."""
        return key_at(self.shown[y], x) if y < len(self.shown) else None

    def render_line(self, y: int) -> Strip:
        """One row, for the terminal; an empty one where that fails."""
        try:
            return self.drawn(y)
        except Exception as error:  # noqa: BLE001  the toolkit would end the console
            self.stumble(error)
            return Strip.blank(self.size.width)

    def drawn(self, y: int) -> Strip:
        """One row in the terminal's styles."""
        if y >= len(self.shown):
            return Strip.blank(self.size.width)
        segments = [Segment(text, style_of(ink)) for text, ink in self.shown[y]]
        return Strip(segments).adjust_cell_length(self.size.width)


def _raise(error: Exception) -> None:
    raise error


@lru_cache
def style_of(ink: Ink) -> Style:
    """The terminal's style for an ink."""
    return Style(color=ink.letters, bgcolor=ink.ground, bold=ink.bold)
