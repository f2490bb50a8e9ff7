"""Pacing: milestones that are met, overdue or stalled, and the ladder of hints.

A milestone is met once its condition has held, for good. It is overdue from its target time and
stalled from its hint time, exactly on the frame, as long as it is not met.

Each rung of a segment's hints is given once a session. A hint waits for the next item border and
is forgotten if its segment is left before. Where a segment has automatic hints, one is due on the
frame on which a milestone stalls, and a further one each `hint every` after the last hint given
(or after the segment was entered) while a milestone is still stalled.
"""

from broadcaster.story.events import OPERATOR as OPERATOR
from broadcaster.story.events import (
    HintGiven,
    MilestoneMet,
    MilestoneOverdue,
    Part,
    Refused,
    Stalled,
)
from broadcaster.story.judging import frames_until_true
from broadcaster.story.moment import Moment
from broadcaster.story.running import has_turn
from broadcaster.story.state import Insert, Spot
from broadcaster.units import frames_from_seconds

STALLED = "stalled"
"""Why a hint is given."""


def pace(moment: Moment) -> None:
    """Milestones and automatic hints, as they are at this moment."""
    if not moment.on_air:
        return
    while _meet(moment) or _fall_behind(moment):
        pass  # what a milestone asks for may be another milestone
    _call_hint(moment)


def _meet(moment: Moment) -> bool:
    """Note a milestone whose condition holds; False if there is none."""
    for target in moment.plan.targets:
        state = moment.state
        if target.name not in state.met and moment.holds(target.when):
            moment.change(
                met=state.met | {target.name},
                met_times=(*state.met_times, (target.name, moment.session)),
                overdue=state.overdue - {target.name},
                stalled=state.stalled - {target.name},
            )
            moment.tell(MilestoneMet(moment.frame, target.name, moment.session))
            if not moment.state.stalled:
                _call_off_hint(moment)
            return True
    return False


def _fall_behind(moment: Moment) -> bool:
    """Note a milestone whose target time or hint time has come; False if there is none."""
    for target in moment.plan.targets:
        state, name = moment.state, target.name
        if name in state.met:
            continue
        if name not in state.overdue and moment.session >= target.by_frames:
            moment.change(overdue=state.overdue | {name})
            moment.tell(MilestoneOverdue(moment.frame, name, target.by_frames))
            return True
        if name not in state.stalled and moment.session >= target.stalled_frames:
            moment.change(stalled=state.stalled | {name}, hint_frame=moment.clock)
            moment.tell(Stalled(moment.frame, name, target.stalled_frames))
            return True
    return False


def frames_until_pace(moment: Moment) -> list[int]:
    """Frames until each thing that pace() may do by time alone."""
    state, waits = moment.state, []
    for target in moment.plan.targets:
        if target.name in state.met:
            continue
        waits += [target.by_frames - moment.session, target.stalled_frames - moment.session]
        if target.asks_for_time:
            waits.append(frames_until_true(target.when, moment.view) or 0)
    if state.hint_frame is not None:
        waits.append(state.hint_frame - moment.clock)
    return waits


# --- hints --------------------------------------------------------------------------------------


def _call_hint(moment: Moment) -> None:
    """Let an automatic hint wait for its border, if it is time."""
    state, segment = moment.state, moment.segment
    if state.hint_frame is None or state.hint_frame > moment.clock or segment is None:
        return
    if segment.automatic_hints and not state.hint_waiting and next_rung(moment) is not None:
        moment.change(hint_waiting=STALLED, hint_frame=None)
    else:
        expect_hint(moment)


def _call_off_hint(moment: Moment) -> None:
    """The team has caught up."""
    waiting = "" if moment.state.hint_waiting == STALLED else moment.state.hint_waiting
    moment.change(hint_frame=None, hint_waiting=waiting)


def expect_hint(moment: Moment) -> None:
    """The next automatic hint is due in a while, if there are more and the team has stalled."""
    segment, due = moment.segment, None
    if segment and segment.automatic_hints and moment.state.stalled and hints_left(moment):
        due = moment.clock + max(1, frames_from_seconds(segment.hint_every))
    if due != moment.state.hint_frame:
        moment.change(hint_frame=due)


def forget_hint(moment: Moment) -> None:
    """The segment is left: a hint that waits is not given any more."""
    if moment.state.hint_waiting == OPERATOR:
        sentence = f"The hint is not given: {moment.state.segment!r} was left before its turn."
        moment.tell(Refused(moment.frame, sentence))
    if moment.state.hint_waiting:
        moment.change(hint_waiting="")


def hints_left(moment: Moment) -> int:
    """How many rungs of the segment's hints are still to come."""
    ladder = moment.plan.ladders.get(moment.state.segment)
    return len(ladder.items) - _rungs_behind(moment) if ladder else 0


def next_rung(moment: Moment) -> int | None:
    """The next rung of the segment's hints that can be given now, counted from 0.

    A rung whose `when` does not hold is passed over.
    """
    ladder = moment.plan.ladders.get(moment.state.segment)
    if ladder is None:
        return None
    rungs = range(_rungs_behind(moment), len(ladder.items))
    return next((rung for rung in rungs if has_turn(moment, ladder, rung)), None)


def take_hint(moment: Moment) -> Insert | None:
    """The hint that waits, now that its border has come; None if there is none any more."""
    rung, why, segment = next_rung(moment), moment.state.hint_waiting, moment.state.segment
    moment.change(hint_waiting="")
    if rung is None:
        expect_hint(moment)
        return None
    rungs = list(moment.state.rungs)
    rungs[moment.plan.ladder_numbers[segment]] = rung + 1
    moment.change(rungs=tuple(rungs), hints=moment.state.hints + 1)
    expect_hint(moment)
    of = len(moment.plan.ladders[segment].items)
    moment.tell(HintGiven(moment.frame, segment, rung + 1, of, why))
    return Insert(Part.HINT, rung, spot=Spot(rung))


def _rungs_behind(moment: Moment) -> int:
    return moment.state.rungs[moment.plan.ladder_numbers[moment.state.segment]]
