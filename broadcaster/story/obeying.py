"""What each event from outside changes, or why it cannot be obeyed.

While a session is held its clock stands still, so nothing is due by session time. Events are taken
as always: facts change, jumps and hints wait, and the operator's announcements go out.
"""

from dataclasses import replace

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
    AnnouncementsWaiting,
    EndSession,
    FactChanged,
    GiveHint,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    JumpWaiting,
    Part,
    PlainVoice,
    ResetSession,
    RestoreSession,
    Resume,
    SessionEnded,
    SessionStarted,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
    StopPlainVoice,
    TakeBackAnnouncement,
    TakeBackHint,
    TakeBackJump,
    TimetableDue,
)
from broadcaster.story.holding import hold, resume_held
from broadcaster.story.moment import Moment
from broadcaster.story.moves import follow
from broadcaster.story.pacing import OPERATOR, expect_hint, next_rung
from broadcaster.story.plain_voice import speak_plainly, stop_plain_voice
from broadcaster.story.reception import set_readability
from broadcaster.story.restoring import leave, restorable, restore
from broadcaster.story.state import Phase, State, WayOut, without_announcements
from broadcaster.story.timetable import note_event


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
        case RestoreSession():
            _restore(moment)
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
        case TakeBackHint():
            _take_back_hint(moment)
        case Announce():
            _announce(moment, event)
        case SetSignal():
            _set_signal(moment, event)
        case SetReadability():
            _set_readability(moment, event)
        case TakeBackAnnouncement():
            _take_back_announcement(moment)
        case PlainVoice():
            speak_plainly(moment, event)
        case StopPlainVoice():
            if moment.state.plain is None:
                raise CannotObeyError("The plain voice is not on air.")
            stop_plain_voice(moment, event)
        case TimetableDue():
            if not 0 <= event.entry < len(moment.plan.slots):
                raise CannotObeyError(f"The timetable has no entry {event.entry}.")
            note_event(moment, event)


def _want_session(moment: Moment, otherwise: str = "No session is on air.") -> None:
    if not moment.on_air:
        raise CannotObeyError(otherwise)


def _want_no_plain_voice(moment: Moment) -> None:
    if moment.state.plain:
        raise CannotObeyError("The plain voice is on air; stop it first.")


# --- the session --------------------------------------------------------------------------------


def _start(moment: Moment, fresh: State) -> None:
    if moment.on_air:
        raise CannotObeyError("A session is already on air.")
    _want_no_plain_voice(moment)
    # Before the first session the room may already have spoken; after one, its facts are stale.
    if moment.state.phase is Phase.ENDED:
        _begin_anew(moment, fresh, "new session")
    moment.change(
        phase=Phase.ON_AIR,
        session_frame=moment.frame,
        segment_frame=moment.frame,
        quiet_frame=moment.frame,
        way_out=WayOut(moment.plan.programme.opening, "the opening"),
        left=None,
    )
    moment.tell(SessionStarted(moment.frame))
    moment.tell_clock()


def _end(moment: Moment) -> None:
    _want_session(moment)
    leave(moment)
    way_out = WayOut(END, OPERATOR)
    moment.change(way_out=way_out, jump=None, held_frame=None)
    if moment.state.plain:  # at whose border nothing moves
        follow(moment, way_out)
    moment.cut = True


def _reset(moment: Moment, fresh: State) -> None:
    if moment.on_air:
        leave(moment)
        moment.tell(SessionEnded(moment.frame, "reset"))
        moment.cut = not moment.announcing
    _begin_anew(moment, fresh, "reset")
    moment.tell_clock()


def _begin_anew(moment: Moment, fresh: State, why: str) -> None:
    """All is forgotten but what the operator says or wants back; facts that go back are told."""
    for name, value in zip(moment.plan.fact_names, fresh.facts, strict=True):
        if moment.facts[name] != value:
            moment.tell(FactChanged(moment.frame, name, value, why))
    state = moment.state
    announcing = tuple(one for one in state.inserts if one.part is Part.ANNOUNCEMENT)
    set_readability(moment, None)
    moment.change_to(
        replace(
            fresh,
            announcements=state.announcements,
            inserts=announcing,
            plain=state.plain,
            left=state.left,
            strength=state.strength,
            strength_by=state.strength_by,
        )
    )


def _hold(moment: Moment) -> None:
    _want_session(moment)
    if moment.state.held_frame is not None:
        raise CannotObeyError("The session is held already.")
    hold(moment)


def _resume(moment: Moment) -> None:
    held_frame = moment.state.held_frame
    if held_frame is None:
        raise CannotObeyError("No session is held.")
    _want_no_plain_voice(moment)
    resume_held(moment, held_frame)


def _restore(moment: Moment) -> None:
    if moment.on_air:
        raise CannotObeyError("A session is on air: there is nothing to restore.")
    left = restorable(moment)
    if left is None:
        raise CannotObeyError("No session was ended or reset by the operator in the last minute.")
    restore(moment, left)


# --- the story ----------------------------------------------------------------------------------


def _jump(moment: Moment, jump: Jump) -> None:
    _want_session(moment, "No session is on air: there is nothing to jump from.")
    if jump.segment not in moment.plan.segments:
        raise CannotObeyError(f"There is no segment {jump.segment!r}.")
    if jump.transition not in (None, *TRANSITIONS):
        raise CannotObeyError(f"There is no transition {jump.transition!r}.")
    moment.change(jump=jump)
    moment.tell(JumpWaiting(moment.frame, jump.segment, jump.timing, jump.transition))
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
    if moment.set_fact(event.fact, event.value, event.source) and event.progress:
        moment.change(quiet_frame=moment.clock)


def _give_hint(moment: Moment) -> None:
    _want_session(moment)
    if moment.state.hint_waiting:
        raise CannotObeyError("A hint waits for the end of the item.")
    if next_rung(moment) is None:
        given = (
            "has no more hints" if moment.state.segment in moment.plan.ladders else "has no hints"
        )
        raise CannotObeyError(f"The segment {moment.state.segment!r} {given}.")
    moment.change(hint_waiting=OPERATOR)


def _take_back_hint(moment: Moment) -> None:
    if not moment.state.hint_waiting:
        raise CannotObeyError("No hint is waiting; what was heard stays heard.")
    moment.change(hint_waiting="")
    expect_hint(moment)


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
    _want_no_plain_voice(moment)
    waiting = moment.state.announcements
    _let_wait(moment, (event.text, *waiting) if event.now else (*waiting, event.text))
    moment.cut = moment.again = event.now


def _take_back_announcement(moment: Moment) -> None:
    waiting = moment.state.announcements
    if waiting:
        _let_wait(moment, waiting[:-1])
    elif moment.announcing:
        moment.change_to(without_announcements(moment.state))
        moment.cut = True
    else:
        raise CannotObeyError("No announcement is waiting or on air.")


def _let_wait(moment: Moment, texts: tuple[str, ...]) -> None:
    moment.change(announcements=texts)
    moment.tell(AnnouncementsWaiting(moment.frame, texts))
