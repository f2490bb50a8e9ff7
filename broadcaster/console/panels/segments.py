"""Segments: where the story can go, which one is on air and why, and the jump that waits."""

from collections.abc import Hashable

from broadcaster.console.hand import Hand
from broadcaster.console.hands.sheets import Works
from broadcaster.console.palette import Palette
from broadcaster.console.panels.choice import ChoicePanel, Line, key_row
from broadcaster.console.panels.panel import Scene
from broadcaster.console.rows import Row, column, width_of
from broadcaster.console.view import Phase, SegmentView, View
from broadcaster.units import session_clock

NAME_COLUMNS = 22
JUMP_KEYS = (("Enter", "after item"), ("Ctrl+R", "round"), ("Ctrl+N", "now"))
TRANSITION_KEY = "→"
COUNT_COLUMNS = 16
"""What the title leaves to the count of the lines."""
CHOOSING_KEYS = (("↑ ↓", "or a name chooses"),)


class Segments(ChoicePanel):
    """The list of segments."""

    def stamp(self, scene: Scene) -> Hashable:
        """The list, the choice, and the seconds until a waiting jump."""
        view, hand = scene.view, scene.hand
        found = hand.segments.chosen, hand.segments.typed, hand.segments.missed
        state = (view.phase, view.why, _wait_words(view))
        return view.segments, state, hand.works, found, hand.segments.transition

    def rows(self, scene: Scene) -> list[Row]:
        """A line for each segment, or for each that is typed."""
        view, hand, palette = scene.view, scene.hand, scene.palette
        worked = hand.works is Works.SEGMENTS
        shown = hand.segments.shown([segment.name for segment in view.segments])
        names = min(NAME_COLUMNS, max(len(segment.name) for segment in view.segments) + 1)
        lines = [_line(view.segments[number], view, names, palette) for number in shown]
        chosen = hand.segments.chosen
        place = shown.index(chosen) if chosen in shown else None
        title = _title(view, hand, palette, self.size.width - COUNT_COLUMNS)
        keys = key_row(_keys(view, hand), palette, self.size.width)
        return self.framed(title, lines, place, keys, palette, worked=worked)


def _title(view: View, hand: Hand, palette: Palette, columns: int) -> Row:
    """What is typed, else where the jump keys lead; how, where there is room or it is chosen."""
    jumps = view.phase is Phase.ON_AIR and hand.works is Works.SEGMENTS
    transition = hand.segments.transition
    to: Row = ()
    if hand.segments.typed:
        to = ((f" find {hand.segments.typed}_ ", palette.panel),)
    elif jumps and hand.segments.meant and not view.waiting:
        to = ((f" jump to {view.segments[hand.segments.chosen].name} ", palette.panel),)
    if not jumps or (view.waiting and not transition):
        return to
    words = f" with a {transition} " if transition else " transition "
    if view.waiting:
        words = f" next jump{words}"
    how: Row = ((f" {TRANSITION_KEY}", palette.panel_key), (words, palette.panel_quiet))
    if width_of(to + how) <= columns or (transition and hand.segments.typed):
        return to + how
    return how if transition else to


def _keys(view: View, hand: Hand) -> tuple[tuple[str, str], ...]:
    """The keys that do something here now."""
    if hand.works is not Works.SEGMENTS:
        return (("Esc", "back to the segments"),)
    if hand.segments.missed:
        return (("Esc", f"forget {hand.segments.typed!r}"),)
    if view.phase is not Phase.ON_AIR:
        return CHOOSING_KEYS
    if view.waiting:
        name = view.segments[hand.segments.chosen].name
        return (("Enter Ctrl+R Ctrl+N", f"jump to {name}"),)
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
    if segment.waits:
        return _wait_words(view)
    return f"by {view.why}" if segment.on_air else segment.about


def _wait_words(view: View) -> str:
    """When the waiting jump is made; a time that is guessed is said to be."""
    wait = view.waiting
    if wait is None:
        return ""
    how = f"{wait.transition}, {wait.timing.value}" if wait.transition else wait.timing.value
    if wait.left_s is None:
        return how
    about = "" if wait.exact else "about "
    return f"in {about}{session_clock(wait.left_s)}, {how}"
