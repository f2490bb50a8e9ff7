"""The message line: a question before all, then an answer, then a fresh trouble, else the keys."""

from collections.abc import Hashable

from broadcaster.console.hand import Question
from broadcaster.console.palette import Ink, Palette
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row, column
from broadcaster.console.view import Phase


class Message(Panel):
    """One line under the dial."""

    ground = "line"

    def stamp(self, scene: Scene) -> Hashable:
        """Everything that may be said."""
        return scene.hand.question, scene.hand.remark, scene.view.alert, scene.view.phase

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
        return _said("!", f"{alert.at}  {alert.sentence}", width, palette.alarm)
    return _keys(scene.view.phase, palette)


def _asked(question: Question, width: int, palette: Palette) -> Row:
    """The keys stand at the right edge, whole; a long sentence gives way to them."""
    ink = palette.alarm if question.grave else palette.question
    keys = "  Enter does it, Esc leaves it  "
    sentence = column(f"  ? {question.sentence}", width - len(keys))
    return ((sentence + keys, ink),)


def _said(sign: str, sentence: str, width: int, ink: Ink) -> Row:
    return ((column(f"  {sign} {sentence}", width), ink),)


def _keys(phase: Phase, palette: Palette) -> Row:
    keys = [("Ctrl+T", "day or night light"), ("Ctrl+Q", "close the station")]
    if phase is Phase.STAND_BY:
        keys.insert(0, ("Ctrl+S", "start the session"))
    if phase is Phase.ON_AIR:
        keys.insert(0, ("Ctrl+E", "end the session"))
    if phase is Phase.OFF_AIR:
        keys[-1] = ("Ctrl+Q", "leave")
    spans = [((f"  {key}", palette.line_key), (f" {what}", palette.line)) for key, what in keys]
    return tuple(span for pair in spans for span in pair)
