"""The course of a session: its events put in order, for a table, a picture and a report."""

from dataclasses import dataclass
from functools import cached_property
from typing import TypeVar

from broadcaster.rehearsal.session import Rehearsed
from broadcaster.story.events import (
    HintGiven,
    ItemAired,
    JumpWaiting,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    SegmentEntered,
    SessionEnded,
    Stalled,
)
from broadcaster.units import frames_from_seconds

E = TypeVar("E", bound=OutEvent)


@dataclass(frozen=True, slots=True)
class Visit:
    """A stay in a segment."""

    segment: str
    start: int
    end: int
    why: str
    """What led there."""


@dataclass(frozen=True, slots=True)
class Pace:
    """A milestone: its times as frames of the broadcast, and what came of it."""

    milestone: str
    due: int
    """From here on it is overdue, if not met."""
    hint: int
    """From here on the team has stalled."""
    met: int | None

    @property
    def overdue(self) -> bool:
        """Whether it was met late, or not at all."""
        return self.met is None or self.met > self.due


class Course:
    """What happened in a rehearsed session, by kind."""

    def __init__(self, rehearsed: Rehearsed) -> None:
        self.programme = rehearsed.programme
        self.events = rehearsed.events
        self.frames = rehearsed.frames

    def of(self, kind: type[E]) -> list[E]:
        """The events of one kind, in their order."""
        return [event for event in self.events if isinstance(event, kind)]

    @cached_property
    def end(self) -> int:
        """Where the session ended: by the story, or with the rehearsal."""
        return next((event.frame for event in self.of(SessionEnded)), self.frames)

    @cached_property
    def visits(self) -> tuple[Visit, ...]:
        """The segments on air, one after the other."""
        entered = self.of(SegmentEntered)
        ends = [*(event.frame for event in entered[1:]), self.end]
        return tuple(
            Visit(event.segment, event.frame, end, event.why)
            for event, end in zip(entered, ends, strict=False)
        )

    @cached_property
    def paces(self) -> tuple[Pace, ...]:
        """The milestones, in the order of the script. Where the session was held their times moved
        with its clock; one that did not come is told as it was planned.
        """
        met = {event.milestone: event.frame for event in self.of(MilestoneMet)}
        overdue = {event.milestone: event.frame for event in self.of(MilestoneOverdue)}
        stalled = {event.milestone: event.frame for event in self.of(Stalled)}
        return tuple(
            Pace(
                name,
                overdue.get(name, frames_from_seconds(milestone.by)),
                stalled.get(name, frames_from_seconds(milestone.stalled_after)),
                met.get(name),
            )
            for name, milestone in self.programme.milestones.items()
        )

    @cached_property
    def clues(self) -> tuple[ItemAired, ...]:
        """Every clue that went out, whole or cut."""
        return tuple(event for event in self.of(ItemAired) if event.clue)

    @cached_property
    def cut_clues(self) -> tuple[ItemAired, ...]:
        """The clues that were cut. The end of the rehearsal is no cut."""
        return tuple(
            clue for clue in self.clues if not clue.complete and clue.end_frame < self.frames
        )

    @cached_property
    def hints(self) -> list[HintGiven]:
        """The hints that were given."""
        return self.of(HintGiven)

    @cached_property
    def jumps(self) -> list[JumpWaiting]:
        """The operator's jumps."""
        return [event for event in self.of(JumpWaiting) if event.segment is not None]
