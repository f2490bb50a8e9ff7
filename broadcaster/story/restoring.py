"""Sessions that go on: one that the operator ended or reset, and should not have; and one whose
station died, in another station.
"""

from dataclasses import replace

from broadcaster.story.events import (
    AnnouncementsWaiting,
    FactChanged,
    Held,
    JumpWaiting,
    MilestoneMet,
    MilestoneOverdue,
    PlainVoiceStarted,
    ReadabilityChanged,
    SegmentEntered,
    SessionRestored,
    Stalled,
)
from broadcaster.story.holding import resume
from broadcaster.story.moment import Moment
from broadcaster.story.reception import set_readability
from broadcaster.story.state import Left, Phase, State, sent_again, without_announcements
from broadcaster.units import frames_from_seconds

RESTORE_FRAMES = frames_from_seconds(60.0)
"""How long after its end a session can be restored. Chosen: by then the next team may be let in."""
RESTORED = "the restored session"
"""Who says that a fact changes, and what leads to a segment."""


def leave(moment: Moment) -> None:
    """Keep the session as it stands, for restore(). What waits is forgotten, as at its end."""
    state = moment.state
    if moment.going and not moment.announcing:
        state = sent_again(state)
    kept = replace(without_announcements(state), jump=None, due=(), left=None)
    moment.change(left=Left(kept, moment.frame))


def restorable(moment: Moment) -> Left | None:
    """What restore() would bring back; None if it is too late, or there is nothing."""
    left = moment.state.left
    if moment.on_air or left is None or moment.frame - left.frame > RESTORE_FRAMES:
        return None
    return left


def restore(moment: Moment, left: Left) -> None:
    """Go on from what was left. What the room or the operator said since an end holds.

    A reset forgot it: what was said before it comes back. How strong the signal was told to be
    stays, so that whatever else it is now is told after this.
    """
    before = moment.state
    source = before if before.phase is Phase.ENDED else left.state
    facts = source.facts
    moment.change_to(
        replace(
            left.state,
            facts=facts,
            plain=before.plain,
            strength=before.strength,
            strength_by=before.strength_by,
            set_strength=source.set_strength,
            set_readability=before.set_readability,
        )
    )
    if left.state.held_frame is None:
        resume(moment, left.frame)
        if before.plain:  # which holds every session
            moment.change(held_frame=moment.frame)
    moment.tell(SessionRestored(moment.frame))
    moment.tell_clock()
    _tell_facts(moment, before)
    set_readability(moment, source.set_readability)
    _tell_pace(moment)
    _tell_held(moment)


def go_on(moment: Moment, fresh: State) -> None:
    """Tell all that a state holds with which a station begins, and which `fresh` does not."""
    state = moment.state
    moment.change(strength=fresh.strength, strength_by=fresh.strength_by)  # and is told, so, too
    if moment.on_air:
        moment.tell(SessionRestored(moment.frame))
        moment.tell_clock()
    _tell_facts(moment, fresh)
    if state.set_readability is not None:
        moment.tell(ReadabilityChanged(moment.frame, state.set_readability))
    if moment.on_air:
        _tell_pace(moment)
    _tell_held(moment)
    if state.jump:
        jump = state.jump
        moment.tell(JumpWaiting(moment.frame, jump.segment, jump.timing, jump.transition))
    if state.announcements:
        moment.tell(AnnouncementsWaiting(moment.frame, state.announcements))
    if state.plain:
        moment.tell(PlainVoiceStarted(moment.frame, state.plain.text, RESTORED))


def _tell_facts(moment: Moment, before: State) -> None:
    now = moment.state.facts
    for name, was, value in zip(moment.plan.fact_names, before.facts, now, strict=True):
        if was != value:
            moment.tell(FactChanged(moment.frame, name, value, RESTORED))


def _tell_held(moment: Moment) -> None:
    if moment.state.held_frame is not None:
        moment.tell(Held(moment.frame))


def _tell_pace(moment: Moment) -> None:
    """Milestones, each with the time at which it came to stand so, and the segment."""
    state, targets = moment.state, moment.plan.targets
    due = {target.name: target.by_frames for target in targets if target.name in state.overdue}
    late = {
        target.name: target.stalled_frames for target in targets if target.name in state.stalled
    }
    for told, times in (
        (MilestoneMet, dict(state.met_times)),
        (MilestoneOverdue, due),
        (Stalled, late),
    ):
        for name, session_frames in times.items():
            moment.tell(told(moment.frame, name, session_frames))
    if moment.state.segment:
        moment.tell(SegmentEntered(moment.frame, moment.state.segment, RESTORED))
