"""The timetable: entries fall due by session time, or when the desk says so by the clock.

An entry that is due waits for the next item border: nothing is cut. There it is dropped, and told,
if it is later than its limit. An entry waits once; falling due again, it counts from then.

An entry with a mark lands on its frame: at a border before it, an item that would run past that
frame is not begun (the carrier fills up to it). Where several are ready at one border, those that
land come first, then the others, each in the order of their frames and then of the script. Moves
to a segment are made before anything goes out.
"""

from dataclasses import replace

from broadcaster.script.durations import written_seconds
from broadcaster.story.events import Part, TimetableDropped, TimetableDue
from broadcaster.story.moment import Moment
from broadcaster.story.state import Due, Insert, State
from broadcaster.units import seconds_from_frames


def note_due(moment: Moment) -> None:
    """Let wait what is due by session time."""
    if not moment.on_air:
        return
    session, noted = moment.session, moment.state.timetable_frame
    for entry, slot in enumerate(moment.plan.slots):
        due = slot.last_due(noted, session)
        if due is not None:
            _wait(moment, Due(moment.state.session_frame + due, entry, lands=False))
            moment.change(timetable_frame=session)


def frames_until_due(moment: Moment) -> list[int]:
    """Frames until each entry that is due by session time alone."""
    after = max(moment.session, moment.state.timetable_frame)
    dues = (slot.next_due(after) for slot in moment.plan.slots)
    return [due - moment.session for due in dues if due is not None]


def note_event(moment: Moment, event: TimetableDue) -> None:
    """Let wait what the desk says is due. Without a session it is dropped at once."""
    if not moment.on_air:
        _drop(moment, event.entry, "no session is on air")
    elif event.mark_frame is None:
        _wait(moment, Due(moment.frame, event.entry, lands=False))
    else:
        start = event.mark_frame - moment.plan.slots[event.entry].lead_frames
        _wait(moment, Due(start, event.entry, lands=True))


def move_on(moment: Moment, frames: int) -> None:
    """The session was held: what is due by its time is due later. The clock on the wall went on."""
    moved = (
        replace(due, frame=due.frame + frames) if not due.lands else due for due in moment.state.due
    )
    moment.change(due=tuple(sorted(moved, key=_by_frame)))


def _wait(moment: Moment, due: Due) -> None:
    others = [other for other in moment.state.due if other.entry != due.entry]
    moment.change(due=tuple(sorted([*others, due], key=_by_frame)))


def _by_frame(due: Due) -> tuple[int, int]:
    return due.frame, due.entry


# --- at an item border --------------------------------------------------------------------------


def drop_late(moment: Moment) -> None:
    """Drop what has waited longer than its limit."""
    if not moment.going:
        return
    for due in moment.state.due:
        limit = moment.plan.slots[due.entry].late_frames
        if moment.frame - due.frame > limit:
            _forget(moment, due)
            within = written_seconds(seconds_from_frames(limit))
            _drop(moment, due.entry, f"it could not begin within {within} of its time")


def drop_all(moment: Moment, why: str) -> None:
    """Drop everything that waits."""
    for due in moment.state.due:
        _drop(moment, due.entry, why)
    if moment.state.due:
        moment.change(due=())


def take_segment(moment: Moment) -> str | None:
    """The segment to which an entry that is due moves the story now, if one does."""
    for due in _ready(moment):
        segment = moment.plan.slots[due.entry].segment
        if segment is not None:
            _forget(moment, due)
            return segment
    return None


def take_entry(moment: Moment) -> Insert | None:
    """What is due and goes out now, if anything does.

    Between the items of something else that was put in, only an entry that lands does.
    """
    inserts = moment.state.inserts
    for due in _ready(moment):
        slot = moment.plan.slots[due.entry]
        if slot.segment is None and (due.lands or not inserts) and not _is_in(due, inserts):
            _forget(moment, due)
            return Insert(Part.TIMETABLE, due.entry)
    return None


def next_mark(state: State, frame: int) -> int | None:
    """The next frame after this one on which an entry is to land."""
    marks = [
        due.frame
        for due in state.due
        if due.lands and due.frame > frame and not _is_in(due, state.inserts)
    ]
    return min(marks, default=None)


def _ready(moment: Moment) -> list[Due]:
    ready = [due for due in moment.state.due if due.frame <= moment.frame]
    return sorted(ready, key=lambda due: not due.lands)


def _is_in(due: Due, inserts: tuple[Insert, ...]) -> bool:
    """Whether the entry is going out already; it cannot be put in between its own items."""
    return any(one.part is Part.TIMETABLE and one.number == due.entry for one in inserts)


def _forget(moment: Moment, due: Due) -> None:
    moment.change(due=tuple(other for other in moment.state.due if other != due))


def _drop(moment: Moment, entry: int, why: str) -> None:
    sentence = f"The timetable's `{moment.plan.slots[entry].name}` is dropped: {why}."
    moment.tell(TimetableDropped(moment.frame, entry, sentence))
