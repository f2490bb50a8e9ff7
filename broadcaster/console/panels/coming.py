"""Next: what goes out after the item on air, if nothing happens."""

from collections.abc import Hashable

from broadcaster.console.palette import Palette
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row, fit, spread
from broadcaster.console.view import CueView, Phase
from broadcaster.console.words import item_words

TITLES = ("next", "then")


class Coming(Panel):
    """One row for each of the next items."""

    ground = "panel"

    def stamp(self, scene: Scene) -> Hashable:
        """The cues, and the segment from which they would lead away."""
        return scene.view.coming, scene.view.segment, scene.view.phase

    def rows(self, scene: Scene) -> list[Row]:
        """As many cues as there is room for."""
        view, palette, (width, height) = scene.view, scene.palette, self.size
        if not view.coming:
            nothing = "nothing: the carrier stays"
            if view.phase is Phase.STAND_BY:
                nothing += f" until a session begins, with {view.opening}"
            return [_row("next", nothing, "", width, palette)]
        rows: list[Row] = []
        segment = view.segment
        for number, cue in enumerate(view.coming[:height]):
            leads = f"→ {cue.segment}" if cue.segment != segment else ""
            title = TITLES[number] if number < len(TITLES) else ""
            rows.append(_row(title, _words(cue), leads, width, palette))
            segment = cue.segment
        return rows


def _words(cue: CueView) -> str:
    return item_words(cue.kind, cue.text)


def _row(title: str, words: str, leads: str, width: int, palette: Palette) -> Row:
    start: Row = ((f"  {title:<6}", palette.panel_quiet), (words, palette.panel))
    if not leads:
        return (start[0], (fit(words, width - 9), palette.panel))
    return spread(start, ((f"  {leads} ", palette.panel_next),), width, palette.panel)
