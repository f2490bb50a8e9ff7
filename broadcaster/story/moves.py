"""Moves: how the story leaves a segment, and enters the next or ends.

Of several moves at one border the timetable's is made first, then the operator's jump, then the
exit: where the last one leads, the broadcast goes on. A move forgets an exit that was settled.
"""

from broadcaster.script.programme import END, Exit
from broadcaster.story.events import (
    JumpTiming,
    JumpWaiting,
    Part,
    SegmentEntered,
    SessionEnded,
)
from broadcaster.story.moment import Moment
from broadcaster.story.pacing import expect_hint, forget_hint
from broadcaster.story.state import Phase, Spot, WayOut
from broadcaster.story.timetable import drop_all, take_segment

JUMP = "jump"
TIMETABLE = "timetable"
"""Why a segment is entered."""


def take_exit(moment: Moment) -> None:
    """Take an `at once` exit if one is open: the item on air gives way, unless the operator speaks.

    Once taken it stays taken, whatever becomes of its condition.
    """
    if not moment.going or moment.state.way_out:
        return
    way_out = _open_exit(moment, at_once=True)
    if way_out:
        moment.change(way_out=way_out)
        moment.cut = moment.cut or not moment.announcing


def way_out_of_item(moment: Moment) -> WayOut | None:
    """The move that is made at this item border."""
    if not moment.going:
        return None
    way_out, jump = moment.state.way_out, moment.state.jump
    if way_out and way_out.to == END:
        return way_out
    segment = take_segment(moment)
    if segment:
        return WayOut(segment, TIMETABLE)
    if jump and jump.timing is not JumpTiming.AFTER_ROUND:
        return WayOut(jump.segment, JUMP, jump.transition)
    return way_out or _open_exit(moment, at_once=True)


def way_out_of_round(moment: Moment) -> WayOut | None:
    """The move that is made where a round is over."""
    jump = moment.state.jump
    if jump:
        return WayOut(jump.segment, JUMP, jump.transition)
    return _open_exit(moment, at_once=False)


def _open_exit(moment: Moment, *, at_once: bool) -> WayOut | None:
    """The first exit that holds: of those taken at once, or (at a round's end) of all."""
    exits = moment.segment.exits if moment.segment else ()
    return next(
        (
            WayOut(way.to, _why(way), way.transition)
            for way in exits
            if (way.at_once or not at_once) and moment.holds(way.when)
        ),
        None,
    )


def _why(way: Exit) -> str:
    return f"exit: {way.when.source}" if way.when else "exit"


def follow(moment: Moment, way_out: WayOut) -> None:
    """Make a move: what belonged to the segment that is left is over."""
    forget_hint(moment)
    jump = moment.state.jump
    if jump and way_out.why == JUMP:
        jump = None
        moment.tell(JumpWaiting(moment.frame, None, None))
    ends = way_out.to == END
    if moment.segment:
        moment.transition = way_out.transition or moment.plan.programme.station.transition
    moment.change(
        phase=Phase.ENDED if ends else Phase.ON_AIR,
        segment="" if ends else way_out.to,
        segment_frame=moment.frame,
        rounds=0,
        spot=Spot(),
        jump=None if ends else jump,
        way_out=None,
        inserts=tuple(one for one in moment.state.inserts if one.part is Part.ANNOUNCEMENT),
    )
    expect_hint(moment)
    if ends:
        moment.tell_clock()
        drop_all(moment, "the session ended")
        moment.tell(SessionEnded(moment.frame, way_out.why))
    else:
        moment.tell(SegmentEntered(moment.frame, way_out.to, way_out.why))
