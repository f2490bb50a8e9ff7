"""How the team gets on: its milestones, and the hint that it can be given."""

from broadcaster.console.parts import BranchView, HintView, MilestoneState, MilestoneView
from broadcaster.console.words import one_line
from broadcaster.script.condition_tree import FactName, Met, NamedTime, nodes_of
from broadcaster.script.condition_tree import Stalled as AsksForStall
from broadcaster.script.programme import END, Exit, Programme
from broadcaster.story.events import (
    HintGiven,
    HintReady,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    SegmentEntered,
    SessionClock,
    SessionEnded,
    SessionRestored,
    SessionStarted,
    Stalled,
)
from broadcaster.units import seconds_from_frames


class Team:
    """Folds what the station tells of one team after the other."""

    def __init__(self, programme: Programme) -> None:
        self._milestones = programme.milestones
        self._met: dict[str, float | None] = {}
        self._states: dict[str, MilestoneState] = {}
        self._restored_frame: int | None = None
        self.hint: HintView | None = None
        """What can be given now."""
        self.hint_due: HintView | None = None
        """What was asked for and goes out at the next item border."""

    def hear(self, event: OutEvent, session_s: float | None) -> None:
        """Take any event, and what the session's clock shows when it happens."""
        match event:
            case SessionStarted():
                self._met.clear()
                self._states.clear()
            case SessionClock(session_frames=0, running=False):  # all is ready for the next team
                self._met.clear()
                self._states.clear()
            case SessionRestored():
                self._restored_frame = event.frame
            case SessionEnded():
                self.hint = self.hint_due = None
            case MilestoneMet():
                self._states[event.milestone] = MilestoneState.MET
                told_s = _told_s(event)
                self._met.setdefault(event.milestone, session_s if told_s is None else told_s)
            case MilestoneOverdue():
                self._states[event.milestone] = MilestoneState.OVERDUE
            case Stalled():
                self._states[event.milestone] = MilestoneState.STALLED
            case SegmentEntered() | HintGiven():
                self.hint = self.hint_due = None
            case HintReady():
                hint = HintView(event.rung, event.of, one_line(event.text))
                self.hint_due = None if event.rung else self.hint
                self.hint = hint if event.rung else None

    def is_old(self, event: OutEvent, session_s: float | None) -> bool:
        """Whether an event tells again of a milestone, because a session goes on."""
        return (
            isinstance(event, MilestoneMet | MilestoneOverdue | Stalled)
            and event.frame == self._restored_frame
            and _told_s(event) not in (None, session_s)
        )

    def milestones(self) -> tuple[MilestoneView, ...]:
        """All of them, by their target times."""
        views = (
            MilestoneView(
                one_line(name),
                self._states.get(name, MilestoneState.TO_COME),
                milestone.by,
                milestone.stalled_after,
                self._met.get(name),
            )
            for name, milestone in self._milestones.items()
        )
        return tuple(sorted(views, key=lambda one: one.by_s))


def _told_s(event: MilestoneMet | MilestoneOverdue | Stalled) -> float | None:
    """When it was, in seconds of the session."""
    frames = event.session_frames
    return None if frames is None else seconds_from_frames(frames)


def branches_from(programme: Programme, segment: str) -> tuple[BranchView, ...]:
    """Where a segment can lead: first what needs nothing from the team, as one that has stalled."""
    if segment not in programme.segments:
        return ()
    numbers = {name: number for number, name in enumerate(programme.segments, start=1)}
    ways = [way for way in programme.segments[segment].exits if way.to != END]
    ways.sort(key=_needs)
    seen: dict[str, BranchView] = {}
    for way in ways:
        when = way.when.source if way.when else ""
        branch = BranchView(numbers[way.to], way.to, one_line(when), _gives_up(way))
        seen.setdefault(way.to, branch)
    return tuple(seen.values())


def _gives_up(way: Exit) -> bool:
    nodes = nodes_of(way.when.root) if way.when else ()
    return any(isinstance(node, NamedTime) and node.name == "time left" for node in nodes)


def _needs(way: Exit) -> int:
    """The stall itself opens the way; rounds do; time does; or the team must do something."""
    if way.when is None:
        return 1
    nodes = nodes_of(way.when.root)
    kinds = {type(node) for node in nodes}
    if AsksForStall in kinds:
        return 0
    if FactName in kinds or Met in kinds:
        return 3
    return 1 if NamedTime not in kinds else 2
