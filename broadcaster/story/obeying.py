"""What each event from outside changes, or why it cannot be obeyed.

While a session is held its clock stands still, so nothing is due by session time. Events are taken
as always: facts change, jumps and hints wait, and the operator's announcements go out.
"""

from broadcaster.script.programme import END
from broadcaster.script.reception import (
    FULL_SIGNAL,
    NO_SIGNAL,
    PERFECTLY_READABLE,
    UNREADABLE,
)
from broadcaster.script.transitions import TRANSITIONS
from broadcaster.script.values import LONGEST_TEXT
from broadcaster.story.events import (
    Announce,
    EndSession,
    FactChanged,
    GiveHint,
    Held,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    JumpWaiting,
    Part,
    ResetSession,
    Resume,
    Resumed,
    SessionEnded,
    SessionStarted,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
    TakeBackJump,
    TimetableDue,
)
from broadcaster.story.moment import Moment
from broadcaster.story.pacing import OPERATOR, next_rung
from broadcaster.story.reception import set_readability
from broadcaster.story.state import Phase, State, WayOut
from broadcaster.story.timetable import move_on, note_event


class CannotObeyError(Exception):
    """Why an event cannot be obeyed, in a sentence; what was changed by then is thrown away."""


def obey(moment: Moment, event: InEvent, fresh: State) -> None:
    """Change what an event changes. `fresh`: the state in which a station opens.

    Raises CannotObeyError.
    """
    match event:
        case StartSession():
            _start(moment, fresh)
        case EndSession():
            _end(moment)
        case ResetSession():
            _reset(moment, fresh)
        case Hold():
            _hold(moment)
        case Resume():
            _resume(moment)
        case Jump():
            _jump(moment, event)
        case TakeBackJump():
            _take_back_jump(moment)
        case SetFact():
            _set_fact(moment, event)
        case GiveHint():
            _give_hint(moment)
        case Announce():
            _announce(moment, event)
        case SetSignal():
            _set_signal(moment, event)
        case SetReadability():
            _set_readability(moment, event)
        case TimetableDue():
            if not 0 <= event.entry < len(moment.plan.slots):
                raise CannotObeyError(f"The timetable has no entry {event.entry}.")
            note_event(moment, event)


def _want_session(moment: Moment, otherwise: str = "No session is on air.") -> None:
    if not moment.on_air:
        raise CannotObeyError(otherwise)


# --- the session --------------------------------------------------------------------------------


def _start(moment: Moment, fresh: State) -> None:
    if moment.on_air:
        raise CannotObeyError("A session is already on air.")
    # Before the first session the room may already have spoken; after one, its facts are stale.
    if moment.state.phase is Phase.ENDED:
        _begin_anew(moment, fresh, "new session")
    moment.change(
        phase=Phase.ON_AIR,
        session_frame=moment.frame,
        segment_frame=moment.frame,
        quiet_frame=moment.frame,
        way_out=WayOut(moment.plan.programme.opening, "the opening"),
    )
    moment.tell(SessionStarted(moment.frame))


def _end(moment: Moment) -> None:
    _want_session(moment)
    moment.change(way_out=WayOut(END, OPERATOR), jump=None, held_frame=None)
    moment.cut = True


def _reset(moment: Moment, fresh: State) -> None:
    if moment.on_air:
        moment.tell(SessionEnded(moment.frame, "reset"))
        moment.cut = not moment.announcing
    _begin_anew(moment, fresh, "reset")


def _begin_anew(moment: Moment, fresh: State, why: str) -> None:
    """All is forgotten but what the operator is saying; what goes back is told."""
    for name, value in zip(moment.plan.fact_names, fresh.facts, strict=True):
        if moment.facts[name] != value:
            moment.tell(FactChanged(moment.frame, name, value, why))
    state = moment.state
    announcing = tuple(one for one in state.inserts if one.part is Part.ANNOUNCEMENT)
    set_readability(moment, None)
    moment.change_to(fresh)
    moment.change(announcements=state.announcements, inserts=announcing)
    moment.change(strength=state.strength, strength_by=state.strength_by)


def _hold(moment: Moment) -> None:
    _want_session(moment)
    if moment.state.held_frame is not None:
        raise CannotObeyError("The session is held already.")
    moment.change(held_frame=moment.frame)
    moment.tell(Held(moment.frame))


def _resume(moment: Moment) -> None:
    state = moment.state
    if state.held_frame is None:
        raise CannotObeyError("No session is held.")
    held = moment.frame - state.held_frame
    moment.change(
        session_frame=state.session_frame + held,
        segment_frame=state.segment_frame + held,
        quiet_frame=state.quiet_frame + held,
        hint_frame=None if state.hint_frame is None else state.hint_frame + held,
        held_frame=None,
    )
    move_on(moment, held)
    moment.tell(Resumed(moment.frame))


# --- the story ----------------------------------------------------------------------------------


def _jump(moment: Moment, jump: Jump) -> None:
    _want_session(moment, "No session is on air: there is nothing to jump from.")
    if jump.segment not in moment.plan.segments:
        raise CannotObeyError(f"There is no segment {jump.segment!r}.")
    if jump.transition not in (None, *TRANSITIONS):
        raise CannotObeyError(f"There is no transition {jump.transition!r}.")
    moment.change(jump=jump)
    moment.tell(JumpWaiting(moment.frame, jump.segment, jump.timing))
    moment.cut = jump.timing is JumpTiming.NOW


def _take_back_jump(moment: Moment) -> None:
    if moment.state.jump is None:
        raise CannotObeyError("No jump is waiting.")
    moment.change(jump=None)
    moment.tell(JumpWaiting(moment.frame, None, None))


def _set_fact(moment: Moment, event: SetFact) -> None:
    fact = moment.plan.programme.facts.get(event.fact)
    if fact is None:
        raise CannotObeyError(f"There is no fact {event.fact!r}.")
    refusal = fact.refusal(event.value)
    if refusal:
        found, allowed = refusal
        raise CannotObeyError(f"The fact {event.fact!r}: {found} {allowed}".strip())
    if moment.set_fact(event.fact, event.value, event.source):
        moment.change(quiet_frame=moment.clock)


def _give_hint(moment: Moment) -> None:
    _want_session(moment)
    if moment.state.hint_waiting:
        raise CannotObeyError("A hint is waiting already.")
    if next_rung(moment) is None:
        given = (
            "has no more hints" if moment.state.segment in moment.plan.ladders else "has no hints"
        )
        raise CannotObeyError(f"The segment {moment.state.segment!r} {given}.")
    moment.change(hint_waiting=OPERATOR)


def _set_signal(moment: Moment, event: SetSignal) -> None:
    if event.strength is not None and not NO_SIGNAL <= event.strength <= FULL_SIGNAL:
        raise CannotObeyError(f"A signal goes from {NO_SIGNAL:g} to {FULL_SIGNAL:g}.")
    moment.change(set_strength=event.strength)


def _set_readability(moment: Moment, event: SetReadability) -> None:
    if event.grade is not None and not UNREADABLE <= event.grade <= PERFECTLY_READABLE:
        raise CannotObeyError(f"Readability goes from {UNREADABLE:g} to {PERFECTLY_READABLE:g}.")
    set_readability(moment, event.grade)


def _announce(moment: Moment, event: Announce) -> None:
    if not any(character.isalnum() for character in event.text):
        raise CannotObeyError("An announcement needs words.")
    if len(event.text) > LONGEST_TEXT:
        count = len(event.text)
        raise CannotObeyError(
            f"An announcement of {count} characters is too long; {LONGEST_TEXT} are allowed."
        )
    moment.change(announcements=(*moment.state.announcements, event.text))
    moment.cut = moment.again = event.now
