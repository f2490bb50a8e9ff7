"""Pace: the milestones, and how the team stands to each; each state has a sign and a word."""

from collections.abc import Hashable

from textual.geometry import Size

from broadcaster.console.hands.sheets import Works
from broadcaster.console.palette import Ink, Palette
from broadcaster.console.panels.choice import plate
from broadcaster.console.panels.panel import Panel, Place, Scene
from broadcaster.console.rows import Row, column
from broadcaster.console.view import MilestoneState, MilestoneView, View
from broadcaster.units import session_clock

NAME_COLUMNS = 18
SIGNS = {
    MilestoneState.MET: "■",
    MilestoneState.TO_COME: "□",
    MilestoneState.OVERDUE: "!",
    MilestoneState.STALLED: "‼",
}


class Pace(Panel):
    """A line for each milestone, under a plate; where there is little room, those that matter."""

    def __init__(self, name: str, count: int) -> None:
        super().__init__(name)
        self._count = count

    def get_content_height(self, container: Size, viewport: Size, width: int) -> int:
        """Rows for the plate and the milestones."""
        del container, viewport, width
        return self._count + 1 if self._count else 0

    def stamp(self, scene: Scene) -> Hashable:
        """The milestones and their times in whole seconds."""
        return tuple(words_of(one, scene.view) for one in scene.view.milestones)

    def place_at(self, x: int, y: int) -> Place | None:
        """The sheet that has more of it."""
        del x, y
        return Place(Works.SESSION)

    def rows(self, scene: Scene) -> list[Row]:
        """The plate gives way first, then what is met."""
        view, palette, height = scene.view, scene.palette, self.size.height
        shown = list(view.milestones)
        while len(shown) > height and any(one.state is MilestoneState.MET for one in shown):
            shown.remove(next(one for one in shown if one.state is MilestoneState.MET))
        rows = milestone_rows(shown, view, palette)
        if len(rows) < height and rows:
            met = sum(one.state is MilestoneState.MET for one in view.milestones)
            count = f" {met} of {len(view.milestones)} met"
            rows.insert(0, (*plate("PACE", False, palette), (count, palette.panel)))
        return rows


def milestone_rows(
    milestones: list[MilestoneView], view: View, palette: Palette, names: int = NAME_COLUMNS
) -> list[Row]:
    """A row for each: sign, name, and how it stands."""
    names = min(names, max((len(one.name) for one in milestones), default=0) + 1)
    return [
        (
            (
                f" {SIGNS[one.state]} {column(one.name, names)} {words_of(one, view)}",
                _ink(one, palette),
            ),
        )
        for one in milestones
    ]


def words_of(milestone: MilestoneView, view: View) -> str:
    """How it stands, in words."""
    session_s = view.session_s
    match milestone.state:
        case MilestoneState.MET:
            return f"met at {session_clock(milestone.met_s)}" if milestone.met_s else "met"
        case MilestoneState.STALLED | MilestoneState.OVERDUE:
            late = session_clock((session_s or 0.0) - milestone.by_s)
            return f"{milestone.state.value} by {late}"
        case _ if session_s is None or session_s >= milestone.by_s:
            return f"due at {session_clock(milestone.by_s)}"
        case _:
            return f"due in {session_clock(milestone.by_s - session_s)}"


def _ink(milestone: MilestoneView, palette: Palette) -> Ink:
    match milestone.state:
        case MilestoneState.MET:
            return palette.panel_quiet
        case MilestoneState.TO_COME:
            return palette.panel
        case MilestoneState.OVERDUE:
            return palette.panel_next
        case _:
            return palette.panel_on_air
