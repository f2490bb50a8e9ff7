"""A session that is held: its clock stands still, and what is due by session time is due later."""

from broadcaster.story.events import Held, Resumed
from broadcaster.story.moment import Moment
from broadcaster.story.timetable import move_on


def hold(moment: Moment) -> None:
    """Hold the session on air."""
    moment.change(held_frame=moment.frame)
    moment.tell_clock()
    moment.tell(Held(moment.frame))


def resume(moment: Moment, since: int) -> None:
    """Let the session's clock go on as if no time had passed since a frame."""
    stood = moment.frame - since
    state = moment.state
    moment.change(
        session_frame=state.session_frame + stood,
        segment_frame=state.segment_frame + stood,
        quiet_frame=state.quiet_frame + stood,
        hint_frame=None if state.hint_frame is None else state.hint_frame + stood,
        held_frame=None,
    )
    move_on(moment, stood)


def resume_held(moment: Moment, held_frame: int) -> None:
    """Let a session that is held since a frame go on."""
    resume(moment, held_frame)
    moment.tell_clock()
    moment.tell(Resumed(moment.frame))
