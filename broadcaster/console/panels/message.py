"""The message line: a question before all, then an answer, then what happened, else the keys.

Whoever has just chosen a segment reads there what it is about.
"""

from collections.abc import Hashable

from rich.cells import cell_len

from broadcaster.console.hand import Question, Works
from broadcaster.console.paging import pages
from broadcaster.console.palette import Ink, Palette
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row, column, width_of
from broadcaster.console.view import LogLine, Phase, View, Weight

PAGE_S = 5.0
"""How long so much of a text as fits on the line is shown."""
LIGHT = ("Ctrl+T", "light: day or night")
SHORT = {LIGHT: ("Ctrl+T", "light")}
"""What a key does in fewer words, where the line is too narrow."""


class Message(Panel):
    """One line under the dial."""

    ground = "line"

    def stamp(self, scene: Scene) -> Hashable:
        """Everything that may be said."""
        view, hand = scene.view, scene.hand
        said = (hand.question, hand.remark, view.alert, view.phase, view.waiting)
        return said, _choice(scene, self.size.width)

    def rows(self, scene: Scene) -> list[Row]:
        """The line, in the middle of the panel's height."""
        width, height = self.size
        row = _line(scene, width)
        ground = row[0][1] if len(row) == 1 else scene.palette.line
        above = (height - 1) // 2
        empty: Row = ((" " * width, ground),)
        return [*[empty] * above, row, *[empty] * (height - 1 - above)]


def _line(scene: Scene, width: int) -> Row:
    hand, alert, palette = scene.hand, scene.view.alert, scene.palette
    if hand.question:
        return _asked(hand.question, width, palette)
    if hand.remark:
        return _said("·", hand.remark, width, palette.line_key)
    if alert:
        return _happened(alert, width, palette)
    chosen = _choice(scene, width)
    if chosen:
        return _said("▸", chosen, width, palette.line_key)
    return _keys(scene.view, palette, width)


def _asked(question: Question, width: int, palette: Palette) -> Row:
    """The keys stand at the right edge, whole; a long sentence gives way to them."""
    ink = palette.alarm if question.grave else palette.question
    keys = "  Enter yes  Esc no "
    sentence = column(f" ? {question.sentence}", width - len(keys))
    return ((sentence + keys, ink),)


def _said(sign: str, sentence: str, width: int, ink: Ink) -> Row:
    return ((column(f"  {sign} {sentence}", width), ink),)


def _happened(line: LogLine, width: int, palette: Palette) -> Row:
    note = line.weight is Weight.NOTE
    ink = palette.line_key if note else palette.alarm
    return _said("·" if note else "!", f"{line.at}  {line.sentence}", width, ink)


def _choice(scene: Scene, width: int) -> str:
    """What the segment that was chosen just now is about, page by page; empty: all was shown.

    While a jump waits its key goes before that, but not before a warning.
    """
    view, hand = scene.view, scene.hand
    if hand.chosen_for_s is None or hand.missed or hand.works is not Works.SEGMENTS:
        return ""
    segment = view.segments[hand.segment]
    about = "" if view.waiting else segment.about
    words = " ".join(part for part in (segment.warning and f"{segment.warning}.", about) if part)
    if not words:
        return ""
    shown = pages(f"{segment.name}: {words}", max(1, width - 4), 1, cell_len)
    page = int(hand.chosen_for_s / PAGE_S)
    return shown[page].lines[0] if page < len(shown) else ""


def _keys(view: View, palette: Palette, width: int) -> Row:
    """The keys that do something now: the first, and of the others those that fit whole."""
    row: Row = ()
    for key in _keys_of(view):
        for name, does in (key, SHORT.get(key, key)):
            pair = ((f"  {name}", palette.line_key), (f" {does}", palette.line))
            if not row or width_of(row + pair) <= width:
                row += pair
                break
    return row


def _keys_of(view: View) -> list[tuple[str, str]]:
    match view.phase:
        case Phase.OFF_AIR:
            return [("Ctrl+Q", "leave"), LIGHT]
        case Phase.STAND_BY:
            session = [("Ctrl+S", "begin a session")]
        case _:
            session = [("Ctrl+E", "end the session")]
    if view.waiting:
        session.insert(0, ("Ctrl+Z", f"take back the jump to {view.waiting.segment}"))
    return [*session, ("Ctrl+Q", "take the station off air"), LIGHT]
