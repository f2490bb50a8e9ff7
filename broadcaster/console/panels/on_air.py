"""On air: what is said now in large lettering, and the whole text with what is still to come."""

from collections.abc import Hashable
from functools import lru_cache, partial

from rich.cells import cell_len

from broadcaster.console.lettering import can_be_set, columns_of, rows_of, set_large
from broadcaster.console.paging import Page, page_at, pages
from broadcaster.console.palette import Palette
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row, spread, width_of
from broadcaster.console.view import AirView, Phase, View
from broadcaster.script.programme import Groups, Morse, Pips, Say, Spell
from broadcaster.story.events import Part
from broadcaster.units import session_clock

MARGIN = "  "
WORDED = (Say.kind, Groups.kind, Spell.kind, Morse.kind, Pips.kind)
"""Kinds of item whose text is what is heard; of the others the kind is shown large."""
MOST_LINES = 4
"""Large lines at once: more than a listener can have in mind are not shown."""
SIZES = (6, 5, 4, 3, 2, 1)
"""Sizes of the lettering; the terminal's own letters are a third of the smallest."""
TEXT_ROWS = 2
"""Rows that the large lines leave to the whole text."""
CALM = {
    Phase.ON_AIR: ("ON AIR", "Only the carrier is on air."),
    Phase.STAND_BY: ("STAND BY", "The carrier is on air; no session runs."),
    Phase.OFF_AIR: ("OFF AIR", "The station is not open."),
}
"""What is shown where no item is on air: large, and in a sentence."""
HELD = ("CARRIER", "Carrier and bed go on; the story waits.")


class OnAir(Panel):
    """The copy that is on air."""

    ground = "copy"

    def stamp(self, scene: Scene) -> Hashable:
        """The item, the word it has come to, and its time left in whole seconds."""
        air = scene.view.air
        if air is None:
            return scene.view.phase, scene.view.held
        left = (session_clock(air.left_s), _round_words(scene.view))
        return air.start_frame, air.length_s, air.place, left, scene.view.why

    def rows(self, scene: Scene) -> list[Row]:
        """The head, then the large lines, then as much of the text as there is room for."""
        view, palette, (width, height) = scene.view, scene.palette, self.size
        columns = width - 2 * len(MARGIN)
        head = _head(view.air, view, palette, width) if view.air else [()]
        room = height - len(head)
        large, text, offset = _copy(view)
        letters = _large(large, offset if large == text else 0, columns, room, palette)
        lines = _whole_text(text, offset, columns, palette)
        spare = room - len(letters) - min(TEXT_ROWS, len(lines))
        above: list[Row] = [()] * (spare > 0)
        below: list[Row] = [()] * (spare > 1)
        shown = _window(lines, room - len(letters) - len(above) - len(below))
        return [*head, *above, *letters, *below, *shown]


def _copy(view: View) -> tuple[str, str, int]:
    """What is shown large, the whole text, and where in it the voice is."""
    air = view.air
    if air is None:
        return (*(HELD if view.held else CALM[view.phase]), 0)
    large = air.text if air.kind in WORDED else air.kind
    text = air.text if air.text != air.kind else ""
    return large, text, air.place if text else 0


def _head(air: AirView, view: View, palette: Palette, width: int) -> list[Row]:
    """Where the item stands, and its clue: in one row where they fit, else in two."""
    plain = air.part == Part.PLAIN_VOICE
    rounds = f", round {air.round}" if air.segment else ""
    count = f" {air.time} of {air.times}" if air.times > 1 else ""
    part = f"{air.part.upper()}  " if air.part != Part.RUNNING_ORDER else ""
    where: Row = ((f"{MARGIN}● ON AIR  ", palette.copy_state),)
    if not plain:  # it belongs to no segment, and to no round
        where += ((f"{air.segment}{rounds}{MARGIN}", palette.copy),)
    what: Row = ((part, palette.copy_state),)
    if not plain:
        what += ((f"{air.kind}{count}{MARGIN}", palette.copy_quiet),)
    if air.clue:
        what += ((f" ◆ CLUE {air.clue} ", palette.clue),)
    left: Row = (
        (f"{MARGIN}{'' if plain else _round_words(view)}", palette.copy_quiet),
        (f"{MARGIN}item {session_clock(air.left_s)} left{MARGIN}", palette.copy),
    )
    why: Row = ((f"by {view.why}{MARGIN}", palette.copy_quiet),) if view.why and not plain else ()
    for row in (where + why + what, where + what):
        if width_of(row + left) <= width:
            return [spread(row, left, width, palette.copy)]
    if width_of(where + why + left) <= width:
        where += why
    return [spread(where, left, width, palette.copy), ((MARGIN, palette.copy), *what)]


def _round_words(view: View) -> str:
    """How long the round still takes; what is guessed is said to be."""
    if view.round_left_s is None:
        return ""
    about = "" if view.round_exact else "about "
    return f"round {about}{session_clock(view.round_left_s)}"


def _large(text: str, offset: int, columns: int, room: int, palette: Palette) -> list[Row]:
    """The page of the text that holds the offset: as large as the whole text can be."""
    if not can_be_set(text):
        shown = pages(text, columns, 1, lambda run: cell_len(" ".join(run)))
        line = " ".join(shown[page_at(shown, offset)].lines[0])
        return [(), ((MARGIN + line, palette.copy_large),), ()]
    scale, shown = _scaled(text, columns, room - TEXT_ROWS)
    rows: list[Row] = []
    for line in shown[page_at(shown, offset)].lines:
        rows += [((MARGIN + row, palette.copy_large),) for row in set_large(line, scale)]
    most = max(len(page.lines) for page in shown) * rows_of(scale)
    return rows + [()] * (most - len(rows))


@lru_cache(maxsize=16)
def _scaled(text: str, columns: int, room: int) -> tuple[int, tuple[Page, ...]]:
    """The text in pages of the largest size in which one page holds it all, or of single size."""
    for scale in SIZES:
        lines = min(MOST_LINES, max(1, room // rows_of(scale)))
        shown = pages(text, columns, lines, partial(columns_of, scale=scale))
        if scale == 1 or (len(shown) == 1 and len(shown[0].lines) * rows_of(scale) <= room):
            break
    return scale, shown


def _whole_text(text: str, offset: int, columns: int, palette: Palette) -> list[Row]:
    """The text in lines, each in two parts: what was said already is fainter."""
    rows: list[Row] = []
    for page in pages(text, columns, 1, cell_len):
        line = page.lines[0]
        said = max(0, min(len(line), offset - page.start))
        rows.append(((MARGIN + line[:said], palette.copy_spoken), (line[said:], palette.copy)))
    return rows


def _window(text: list[Row], room: int) -> list[Row]:
    """So many lines of the text as there is room for, the one on air at their head."""
    now = next((n for n, (_, to_come) in enumerate(text) if to_come[0]), 0)
    first = max(0, min(now, len(text) - room))
    return text[first : first + room]
