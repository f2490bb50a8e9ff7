"""As much of a programme as its log tells, for a recording whose script is not at hand."""

from collections.abc import Iterable, Sequence

from broadcaster.script.facts import Fact
from broadcaster.script.programme import Milestone, Programme, Segment, Station
from broadcaster.story.events import (
    FactChanged,
    FactState,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    SegmentEntered,
    SessionClock,
    StationOpened,
)
from broadcaster.units import seconds_from_frames

NAMELESS = "-"
USUAL_S = 3600.0
"""How long a session is, if the log ends before one did."""


def programme_of(log: Sequence[OutEvent]) -> Programme:
    """Its segments, facts and milestones in the order in which they came; the session as long as
    the longest was. What a log does not tell is left empty, so this cannot be put on air.
    """
    opened = next((event for event in log if isinstance(event, StationOpened)), None)
    callsign = opened.callsign if opened else NAMELESS
    entered = [event.segment for event in log if isinstance(event, SegmentEntered)]
    segments = dict.fromkeys(entered or [NAMELESS], Segment.model_construct(play=()))
    shown = [event.session_frames for event in log if isinstance(event, SessionClock)]
    return Programme.model_construct(
        programme=opened.programme if opened else NAMELESS,
        station=Station.model_construct(callsign=callsign, frequency=0.0, voice=""),
        opening=next(iter(segments)),
        segments=segments,
        session=seconds_from_frames(max(shown, default=0)) or USUAL_S,
        facts=_facts(event for event in log if isinstance(event, FactChanged)),
        milestones=_milestones(log),
    )


def _facts(changes: Iterable[FactChanged]) -> dict[str, Fact]:
    """Before it was told otherwise, a fact was no, nought, or unknown."""
    values: dict[str, set[FactState]] = {}
    for change in changes:
        values.setdefault(change.fact, set()).add(change.value)
    return {name: _fact(seen) for name, seen in values.items()}


def _fact(seen: set[FactState]) -> Fact:
    value = next(iter(seen))
    if isinstance(value, str):
        names = tuple(sorted(str(one) for one in seen))
        return Fact.model_construct(at_first=names[0], one_of=names)
    return Fact.model_construct(at_first=False if isinstance(value, bool) else 0)


def _milestones(log: Sequence[OutEvent]) -> dict[str, Milestone]:
    """Each was due when it was overdue; one that never was, when it was met."""
    due: dict[str, float] = {}
    clock: SessionClock | None = None
    for event in log:
        if isinstance(event, SessionClock):
            clock = event
        elif isinstance(event, MilestoneMet | MilestoneOverdue) and clock:
            shown = event.session_frames
            if shown is None:
                shown = clock.session_frames + event.frame - clock.frame
            due.setdefault(event.milestone, seconds_from_frames(shown))
    return {name: Milestone.model_construct(by=by) for name, by in due.items()}
