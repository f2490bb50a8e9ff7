"""Facts: what the room has told the station, who said so last, and when."""

from collections.abc import Hashable

from textual.geometry import Size

from broadcaster.console.hands.sheets import Works
from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import ChoicePanel, Line, key_row, plate
from broadcaster.console.panels.panel import Scene
from broadcaster.console.rows import Row, column
from broadcaster.console.view import FactView
from broadcaster.story.cue import fact_said

NAME_COLUMNS = 18
VALUE_COLUMNS = 5


class Facts(ChoicePanel):
    """The list of facts: as high as it needs to be, where the style leaves that to it."""

    works = Works.FACTS

    def __init__(self, name: str, count: int) -> None:
        super().__init__(name)
        self._count = count

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Rows for the title, the facts and the keys."""
        del container, viewport, width
        return self._count + 2

    def stamp(self, scene: Scene) -> Hashable:
        """The facts and the choice."""
        view, hand = scene.view, scene.hand
        return view.facts, view.facts_of_last_session, hand.facts.chosen, hand.works

    def rows(self, scene: Scene) -> list[Row]:
        """A line for each fact."""
        view, hand, palette = scene.view, scene.hand, scene.palette
        worked = hand.works is Works.FACTS
        title = plate("FACTS", worked, palette)
        if not view.facts:
            return [title, ((" The script has none.", palette.panel_quiet),)]
        if view.facts_of_last_session:
            title += ((" of the last session", palette.panel),)
        names = min(NAME_COLUMNS, max(len(fact.name) for fact in view.facts) + 1)
        lines = [_line(fact, names, palette) for fact in view.facts]
        chosen = min(hand.facts.chosen, len(lines) - 1) if worked else None
        keys = () if chosen is None else _keys(view.facts[chosen])
        row = key_row(keys, palette, self.size.width)
        return self.framed(title, lines, chosen, row, palette, worked=worked)


def _keys(fact: FactView) -> tuple[tuple[str, str], ...]:
    """The keys that change a fact, and the way back."""
    back = ("Esc", "back")
    if isinstance(fact.value, bool):
        return ("Space", "turn"), ("+ -", "yes, no"), back
    if isinstance(fact.value, str):
        return ("Space + -", "another name"), back
    return ("+ -", "more, less"), back


def _line(fact: FactView, names: int, palette: Palette) -> Line:
    value = fact_said(fact.value)
    if isinstance(fact.value, bool):
        value = ("■ " if fact.value else "□ ") + value
    words = f"{column(fact.name, names)} {column(value, VALUE_COLUMNS)}"
    return Line(words, f"{fact.at} {fact.source}", palette.panel, palette.panel_quiet)
