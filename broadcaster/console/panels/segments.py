"""Segments: where the story can go, which one is on air and why, and the jump that waits."""

from collections.abc import Hashable

from broadcaster.console.hand import Works
from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import ChoicePanel, Line, key_row, plate
from broadcaster.console.panels.panel import Scene
from broadcaster.console.rows import Row, column
from broadcaster.console.view import SegmentView, View
from broadcaster.story.events import JumpTiming
from broadcaster.units import session_clock

NAME_COLUMNS = 22
JUMP_KEYS = (("Enter", "after item"), ("Ctrl+R", "round"), ("Ctrl+N", "now"))
BACK_KEYS = (("Ctrl+Z", "take the jump back"), ("Ctrl+N", "now"))


class Segments(ChoicePanel):
    """The list of segments."""

    def stamp(self, scene: Scene) -> Hashable:
        """The list, the choice, and the seconds until a waiting jump."""
        view, hand = scene.view, scene.hand
        wait = int(view.air.left_s) if view.waiting and view.air else None
        return view.segments, view.why, wait, hand.segment, hand.works, hand.typed

    def rows(self, scene: Scene) -> list[Row]:
        """A line for each segment."""
        view, hand, palette = scene.view, scene.hand, scene.palette
        worked = hand.works is Works.SEGMENTS
        typed: Row = ((f"  find {hand.typed}_", palette.panel),) if hand.typed else ()
        title = plate("SEGMENTS", worked, palette) + typed
        names = min(NAME_COLUMNS, max(len(segment.name) for segment in view.segments) + 1)
        lines = [_line(segment, view, names, palette) for segment in view.segments]
        keys = key_row(BACK_KEYS if view.waiting else JUMP_KEYS, palette)
        return self.framed(title, lines, hand.segment, keys, palette)


def _line(segment: SegmentView, view: View, names: int, palette: Palette) -> Line:
    sign, ink, note_ink = " ", palette.panel, palette.panel_quiet
    if segment.on_air:
        sign, ink, note_ink = "●", palette.panel_on_air, palette.panel_on_air
    elif segment.waits:
        sign, ink, note_ink = "»", palette.panel_next, palette.panel_next
    words = f"{segment.number:>2} {sign} {column(segment.name, names)}"
    return Line(words, _note(segment, view), ink, note_ink)


def _note(segment: SegmentView, view: View) -> str:
    if segment.waits is JumpTiming.AFTER_ITEM and view.air:
        return f"{segment.waits.value}, in {session_clock(view.air.left_s)}"
    if segment.waits:
        return segment.waits.value
    return f"by {view.why}" if segment.on_air else segment.about
