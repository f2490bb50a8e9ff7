"""The message line: a question before all, then an answer, then what happened, else the keys.

Whoever has just chosen a segment reads there what it is about.
"""

from collections.abc import Hashable

from rich.cells import cell_len

from broadcaster.console.asking import Question
from broadcaster.console.hands.sheets import Works
from broadcaster.console.keys import Hint, key_row
from broadcaster.console.paging import pages
from broadcaster.console.palette import Ink, Palette
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.rows import Row, column, width_of
from broadcaster.console.view import LogLine, Phase, Weight

PAGE_S = 5.0
"""How long so much of a text as fits on the line is shown."""
HELP = ("F1", "help")
ASKED_COLUMNS = 28
"""The least of a question that its keys leave."""
LEAST_ROWS = 8
"""Below this height of the window no sheet has room."""


class Message(Panel):
    """One line under the dial."""

    ground = "line"

    def stamp(self, scene: Scene) -> Hashable:
        """Everything that may be said."""
        view, hand = scene.view, scene.hand
        said = (hand.question, hand.remark, view.alert, self._too_low, hand.works)
        return said, tuple(_keys_of(scene)), _choice(scene, self.size.width)

    def rows(self, scene: Scene) -> list[Row]:
        """The line, in the middle of the panel's height."""
        width, height = self.size
        row = _line(scene, width, too_low=self._too_low)
        question = scene.hand.question
        ground = row[0][1] if question or len(row) == 1 else scene.palette.line
        above = (height - 1) // 2
        empty: Row = ((" " * width, ground),)
        return [*[empty] * above, row, *[empty] * (height - 1 - above)]

    @property
    def _too_low(self) -> bool:
        return self.app.size.height < LEAST_ROWS


def _line(scene: Scene, width: int, *, too_low: bool) -> Row:
    hand, alert, palette = scene.hand, scene.view.alert, scene.palette
    if hand.question:
        return _asked(hand.question, width, palette)
    if alert and alert.weight is Weight.REFUSED:  # it answers the last key
        return _happened(alert, width, palette)
    if hand.remark:
        return _said("·", hand.remark, width, palette.line_key)
    if too_low and hand.works is not Works.SEGMENTS:
        sentence = f"The window is too low for {hand.works.upper()}: {LEAST_ROWS} rows do."
        return _said("!", sentence, width, palette.alarm)
    if alert:
        return _happened(alert, width, palette)
    chosen = _choice(scene, width)
    if chosen:
        return _said("▸", chosen, width, palette.line_key)
    return _keys(scene, palette, width)


def _asked(question: Question, width: int, palette: Palette) -> Row:
    """The keys stand at the right edge, whole; a long sentence gives way to them, but not all."""
    ink = palette.alarm if question.grave else palette.question
    yes, no = ("Enter", "yes"), ("Esc", "no")
    again = (("Ctrl+P", "or"),) if question.again else ()
    gentler = ((question.gentler, "round"),) if question.gentler else ()
    choices = ((*again, yes, *gentler, no), (*again, yes, no), (yes,))
    rows = [key_row(keys, ink, ink) for keys in choices]
    keys = next((row for row in rows if width - width_of(row) >= ASKED_COLUMNS), rows[-1])
    asked = f"{question.remark} {question.sentence}".lstrip()
    sentence = column(f" ? {asked}", width - width_of(keys))
    return ((sentence, ink), *keys)


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
    if (
        hand.segments.chosen_for_s is None
        or hand.segments.missed
        or hand.works is not Works.SEGMENTS
    ):
        return ""
    segment = view.segments[hand.segments.chosen]
    about = "" if view.waiting else segment.about
    words = " ".join(part for part in (segment.warning and f"{segment.warning}.", about) if part)
    if not words:
        return ""
    shown = pages(f"{segment.name}: {words}", max(1, width - 4), 1, cell_len)
    page = int(hand.segments.chosen_for_s / PAGE_S)
    return shown[page].lines[0] if page < len(shown) else ""


def _keys(scene: Scene, palette: Palette, width: int) -> Row:
    """The keys that fit whole: of those that do not all fit, the ones that matter most."""
    ranked = _keys_of(scene)
    taken: list[int] = []
    left = width
    for place in sorted(range(len(ranked)), key=lambda place: ranked[place][0]):
        pair = key_row((ranked[place][1],), palette.line_key, palette.line)
        if width_of(pair) <= left:
            taken.append(place)
            left -= width_of(pair)
    return key_row([ranked[place][1] for place in sorted(taken)], palette.line_key, palette.line)


def _keys_of(scene: Scene) -> list[tuple[int, Hint]]:
    """The keys that do something now, as they stand, each with its rank."""
    view = scene.view
    step = scene.hand.acts.undo.offered(view)
    undo = [(1, ("Ctrl+Z", f"take back {step.words}"))] if step else []
    if view.phase is Phase.OFF_AIR:
        return [(1, ("Ctrl+Q", "leave")), (2, HELP)]
    plain = (0, ("Ctrl+P", "stop the plain voice" if view.plain else "plain voice"))
    more = [(3, ("Ctrl+A", "announce")), plain, (2, HELP)]
    last = [(8, ("Ctrl+X", "reset")), (9, ("Ctrl+T", "light"))]
    if scene.hand.acts.stays:
        last.append((6, ("Ctrl+Q", "leave")))
    if view.phase is Phase.STAND_BY:
        return [*undo, (1, ("Ctrl+S", "begin a session")), *more, *last]
    steer = [(5, ("Ctrl+O", "go on" if view.held else "hold"))]
    if view.hint:
        steer.insert(0, (4, ("Ctrl+G", f"hint {view.hint.rung} of {view.hint.of}")))
    return [*undo, *steer, *more, (7, ("Ctrl+E", "end")), *last]
