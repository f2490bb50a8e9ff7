"""The story: a deterministic machine that decides what goes on air next, and does nothing itself.

Two questions are put to it. receive(): an event came at this frame; what changes? advance(): an
item is over at this frame; what comes now? Both answer with a Turn and leave the asker's state as
it was, so that the same machine serves the station, a look ahead and a proof.
"""

from collections.abc import Callable
from dataclasses import replace

from broadcaster.script.programme import END, Exit, Programme, Segment
from broadcaster.story.cue import Carrier, Cue, fact_said, text_of
from broadcaster.story.events import (
    EndSession,
    FactChanged,
    FactState,
    InEvent,
    Jump,
    JumpTiming,
    JumpWaiting,
    OutEvent,
    Refused,
    SegmentEntered,
    SessionEnded,
    SessionStarted,
    SetFact,
    StartSession,
    TakeBackJump,
)
from broadcaster.story.judging import Line, View, frames_until_true, holds
from broadcaster.story.state import Phase, State, Turn, WayOut
from broadcaster.units import frames_from_seconds

EMPTY_ROUND_S = 1.0
"""How long the carrier fills in where a round has nothing to send. Chosen by ear."""


class Story:
    """The machine for one programme."""

    def __init__(self, programme: Programme) -> None:
        self.programme = programme
        self._fact_names = tuple(programme.facts)
        self._session_frames = frames_from_seconds(programme.session)

    # --- what the asker may want to know ---------------------------------------------------

    def stand_by(self) -> State:
        """The state in which a station opens."""
        return State(facts=tuple(self.programme.facts.values()))

    def facts(self, state: State) -> dict[str, FactState]:
        """The facts by name."""
        return dict(zip(self._fact_names, state.facts, strict=True))

    def frames_until_exit(self, state: State, frame: int) -> int | None:
        """Frames until an `at once` exit of this segment opens by time alone; None: never."""
        if state.phase is not Phase.ON_AIR or state.way_out:
            return None
        view = self._view(state, frame)
        waits = [
            frames_until_true(way.when, view)
            for way in self._segment(state).exits
            if way.at_once and way.when
        ]
        return min((wait for wait in waits if wait), default=None)

    def foresee(
        self, state: State, frame: int, count: int, length_of: Callable[[Cue], int]
    ) -> tuple[Cue, ...]:
        """The next cues if nothing happens but time; length_of tells an item's frames."""
        cues: list[Cue] = []
        while len(cues) < count:
            turn = self.advance(state, frame)
            if turn.cue is None:
                break
            cues.append(turn.cue)
            state, frame = turn.state, frame + length_of(turn.cue)
        return tuple(cues)

    def entries(self, state: State, frame: int) -> tuple[Cue, ...]:
        """For each segment, the cue that a jump there would air first."""
        if state.phase is not Phase.ON_AIR:
            return ()
        turns = (
            self.advance(replace(state, jump=Jump(segment, JumpTiming.NOW)), frame)
            for segment in self.programme.segments
        )
        return tuple(turn.cue for turn in turns if turn.cue)

    # --- events ----------------------------------------------------------------------------

    def receive(self, state: State, event: InEvent, frame: int) -> Turn:
        """What an event changes. An event that cannot be obeyed changes nothing and is Refused."""
        match event:
            case StartSession():
                return self._start(state, frame)
            case EndSession():
                return self._end(state, frame)
            case SetFact():
                return self._set_fact(state, event, frame)
            case Jump():
                return self._jump(state, event, frame)
            case TakeBackJump():
                if state.jump is None:
                    return _refuse(state, frame, "No jump is waiting.")
                return Turn(replace(state, jump=None), events=(JumpWaiting(frame, None, None),))

    def tick(self, state: State, frame: int) -> Turn:
        """Time has passed: take an `at once` exit if one is open."""
        if state.phase is not Phase.ON_AIR or state.way_out:
            return Turn(state)
        way_out = self._open_exit(state, frame, at_once=True)
        return Turn(replace(state, way_out=way_out), cut=True) if way_out else Turn(state)

    def _start(self, state: State, frame: int) -> Turn:
        if state.phase is Phase.ON_AIR:
            return _refuse(state, frame, "A session is already on air.")
        # Before the first session the room may already have spoken; after one, its facts are stale.
        fresh = state if state.phase is Phase.STAND_BY else self.stand_by()
        started = replace(
            fresh,
            phase=Phase.ON_AIR,
            session_frame=frame,
            quiet_frame=frame,
            way_out=WayOut(self.programme.opening, "the opening"),
        )
        return Turn(started, events=(SessionStarted(frame),), cut=True)

    def _end(self, state: State, frame: int) -> Turn:
        if state.phase is not Phase.ON_AIR:
            return _refuse(state, frame, "No session is on air.")
        return Turn(replace(state, way_out=WayOut(END, "the operator"), jump=None), cut=True)

    def _jump(self, state: State, jump: Jump, frame: int) -> Turn:
        if state.phase is not Phase.ON_AIR:
            return _refuse(state, frame, "No session is on air: there is nothing to jump from.")
        if jump.segment not in self.programme.segments:
            return _refuse(state, frame, f"There is no segment {jump.segment!r}.")
        return Turn(
            replace(state, jump=jump),
            events=(JumpWaiting(frame, jump.segment, jump.timing),),
            cut=jump.timing is JumpTiming.NOW,
        )

    def _set_fact(self, state: State, event: SetFact, frame: int) -> Turn:
        facts = self.facts(state)
        if event.fact not in facts:
            return _refuse(state, frame, f"There is no fact {event.fact!r}.")
        if isinstance(event.value, bool) is not isinstance(facts[event.fact], bool):
            wanted = "yes or no" if isinstance(facts[event.fact], bool) else "a whole number"
            said = fact_said(event.value)
            return _refuse(state, frame, f"The fact {event.fact!r} is {wanted}, not {said}.")
        if event.value == facts[event.fact]:
            return Turn(state)
        facts[event.fact] = event.value
        changed = replace(state, facts=tuple(facts.values()), quiet_frame=frame)
        told = FactChanged(frame, event.fact, event.value, event.source)
        turn = self.tick(changed, frame)
        return replace(turn, events=(told, *turn.events))

    # --- borders ---------------------------------------------------------------------------

    def advance(self, state: State, frame: int) -> Turn:
        """What comes on air now that an item is over (or has been cut) at this frame.

        A round that ends with no exit open begins again, whether or not the script says `repeat`:
        the air is never dead. (The script room refuses a script that could come to this.) A round
        with nothing to send is filled by the carrier.
        """
        events: list[OutEvent] = []
        empty_rounds = 0
        for _ in range(2 * len(self.programme.segments) + 2):
            if state.phase is not Phase.ON_AIR:
                return Turn(state, events=tuple(events))
            way_out = self._way_out_of_item(state, frame)
            if way_out is None:
                state, cue = self._next_in_round(state, frame)
                if cue:
                    return Turn(state, cue, tuple(events))
                state = replace(state, rounds=state.rounds + 1, place=-1, time=0)
                empty_rounds += 1
                way_out = self._way_out_of_round(state, frame)
            if way_out:
                state, told = self._follow(state, way_out, frame)
                events.extend(told)
            elif empty_rounds > 1:
                break
        filler = Cue(
            state.segment, Carrier(carrier=EMPTY_ROUND_S), "carrier", round=state.rounds + 1
        )
        return Turn(state, filler, tuple(events))

    def _way_out_of_item(self, state: State, frame: int) -> WayOut | None:
        jump = state.jump
        if jump and jump.timing is not JumpTiming.AFTER_ROUND:
            return WayOut(jump.segment, "jump")
        return state.way_out or self._open_exit(state, frame, at_once=True)

    def _way_out_of_round(self, state: State, frame: int) -> WayOut | None:
        if state.jump:
            return WayOut(state.jump.segment, "jump")
        return self._open_exit(state, frame, at_once=False)

    def _open_exit(self, state: State, frame: int, *, at_once: bool) -> WayOut | None:
        """The first exit that holds: of those taken at once, or (at a round's end) of all."""
        view = self._view(state, frame)
        return next(
            (
                WayOut(way.to, _why(way))
                for way in self._segment(state).exits
                if (way.at_once or not at_once) and (way.when is None or holds(way.when, view))
            ),
            None,
        )

    def _follow(
        self, state: State, way_out: WayOut, frame: int
    ) -> tuple[State, tuple[OutEvent, ...]]:
        told: tuple[OutEvent, ...] = ()
        if state.jump and state.jump.segment == way_out.to and way_out.why == "jump":
            state = replace(state, jump=None)
            told = (JumpWaiting(frame, None, None),)
        if way_out.to == END:
            ended = replace(state, phase=Phase.ENDED, segment="", place=-1, way_out=None, jump=None)
            return ended, (*told, SessionEnded(frame, way_out.why))
        entered = replace(
            state,
            segment=way_out.to,
            place=-1,
            time=0,
            rounds=0,
            segment_frame=frame,
            way_out=None,
        )
        return entered, (*told, SegmentEntered(frame, way_out.to, way_out.why))

    def _next_in_round(self, state: State, frame: int) -> tuple[State, Cue | None]:
        play = self._segment(state).play
        if state.place >= 0 and state.time < play[state.place].times:
            return self._cue(replace(state, time=state.time + 1))
        view = self._view(state, frame)
        for place in range(state.place + 1, len(play)):
            when = play[place].when
            if when is None or holds(when, view):
                return self._cue(replace(state, place=place, time=1))
        return state, None

    def _cue(self, state: State) -> tuple[State, Cue]:
        item = self._segment(state).play[state.place]
        text = text_of(item, self.facts(state))
        return state, Cue(state.segment, item, text, state.time, state.rounds + 1)

    def _segment(self, state: State) -> Segment:
        return self.programme.segments[state.segment]

    def _view(self, state: State, frame: int) -> View:
        session = frame - state.session_frame
        return View(
            facts=self.facts(state),
            times={
                "session time": Line(session, 1),
                "segment time": Line(frame - state.segment_frame, 1),
                "quiet time": Line(frame - state.quiet_frame, 1),
                "time left": Line(self._session_frames - session, -1),
            },
            counts={"rounds": state.rounds},
        )


def _refuse(state: State, frame: int, sentence: str) -> Turn:
    return Turn(state, events=(Refused(frame, sentence),))


def _why(way: Exit) -> str:
    return f"exit: {way.when.source}" if way.when else "exit"
