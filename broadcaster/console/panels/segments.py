"""Segments: where the story can go, which one is on air and why, and the jump that waits."""

from collections.abc import Hashable

from broadcaster.console.hand import Hand, Works
from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import ChoicePanel, Line, key_row, plate
from broadcaster.console.panels.panel import Scene
from broadcaster.console.rows import Row, column
from broadcaster.console.view import Phase, SegmentView, View
from broadcaster.story.events import JumpTiming
from broadcaster.units import session_clock

NAME_COLUMNS = 22
JUMP_KEYS = (("Enter", "after item"), ("Ctrl+R", "round"), ("Ctrl+N", "now"))
CHOOSING_KEYS = (("↑ ↓", "or a name chooses"),)


class Segments(ChoicePanel):
    """The list of segments."""

    def stamp(self, scene: Scene) -> Hashable:
        """The list, the choice, and the seconds until a waiting jump."""
        view, hand = scene.view, scene.hand
        wait = int(view.air.left_s) if view.waiting and view.air else None
        state = (view.phase, view.why, wait)
        return view.segments, state, hand.segment, hand.works, hand.typed, hand.missed

    def rows(self, scene: Scene) -> list[Row]:
        """A line for each segment."""
        view, hand, palette = scene.view, scene.hand, scene.palette
        title = plate("SEGMENTS", hand.works is Works.SEGMENTS, palette)
        title += ((_beside_title(view, hand), palette.panel),)
        names = min(NAME_COLUMNS, max(len(segment.name) for segment in view.segments) + 1)
        lines = [_line(segment, view, names, palette) for segment in view.segments]
        keys = key_row(_keys(view, hand), palette)
        return self.framed(title, lines, hand.segment, keys, palette)


def _beside_title(view: View, hand: Hand) -> str:
    """What is typed, else where the jump keys lead."""
    if hand.typed:
        return f" find {hand.typed}_"
    jumps = view.phase is Phase.ON_AIR and hand.works is Works.SEGMENTS and not view.waiting
    return f" jump to {view.segments[hand.segment].name}" if jumps else ""


def _keys(view: View, hand: Hand) -> tuple[tuple[str, str], ...]:
    """The keys that do something here now."""
    if hand.works is not Works.SEGMENTS:
        return (("Tab", "back to the segments"),)
    if hand.missed:
        return (("Esc", f"forget {hand.typed!r}"),)
    if view.phase is not Phase.ON_AIR:
        return CHOOSING_KEYS
    if view.waiting:
        return (("Enter/Ctrl+R/Ctrl+N:", f"jump to {view.segments[hand.segment].name}"),)
    return JUMP_KEYS


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
