"""The story: a deterministic machine that decides what goes on air next, and does nothing itself.

Three questions are put to it. receive(): an event came at this frame; what changes? tick(): it is
the frame that frames_until_change() told; what changes? advance(): an item is over at this frame;
what comes now? All answer with a Turn and leave the asker's state as it was, so that the same
machine serves the station, a look ahead and a proof.

What happens on one frame happens in this order: events from outside, as they came; milestones and
hints; the timetable; exits taken at once; then, if an item is over, what comes next. Last of all
the signal's strength is told, if it is not what it was.
"""

from collections.abc import Callable
from dataclasses import replace
from datetime import datetime

from broadcaster.script.programme import Item, Programme, SetFacts
from broadcaster.story.cue import Carrier, Cue, tells_time, text_of
from broadcaster.story.events import (
    FactState,
    HintReady,
    InEvent,
    Jump,
    JumpTiming,
    Part,
    Refused,
    StartSession,
)
from broadcaster.story.inserts import next_inserted
from broadcaster.story.judging import frames_until_true
from broadcaster.story.moment import Moment
from broadcaster.story.moves import follow, take_exit, way_out_of_item, way_out_of_round
from broadcaster.story.obeying import CannotObeyError, obey
from broadcaster.story.pacing import frames_until_pace, next_rung, pace
from broadcaster.story.plain_voice import next_plainly
from broadcaster.story.plan import Plan
from broadcaster.story.reception import follow_signal, frames_until_signal, readability_of
from broadcaster.story.restoring import go_on
from broadcaster.story.running import next_item
from broadcaster.story.state import Phase, Spot, State, Turn, sent_again, without_announcements
from broadcaster.story.timetable import drop_late, frames_until_due, next_mark, note_due

EMPTY_ROUND_S = 1.0
"""How long the carrier fills in where a round has nothing to send. Chosen by ear."""


class Story:
    """The machine for one programme."""

    def __init__(self, programme: Programme, seed: int = 0, opened: datetime | None = None) -> None:
        """`seed`: what `choose` goes by. `opened`: the time of day at frame 0."""
        self.programme = programme
        self._plan = Plan(programme, seed, opened)
        self._most_moves = 2 * len(programme.segments) + 2

    # --- what the asker may want to know ---------------------------------------------------

    def stand_by(self) -> State:
        """The state in which a station opens."""
        return State(
            facts=tuple(fact.at_first for fact in self.programme.facts.values()),
            rungs=(0,) * len(self._plan.ladders),
        )

    def facts(self, state: State) -> dict[str, FactState]:
        """The facts by name."""
        return dict(zip(self._plan.fact_names, state.facts, strict=True))

    def waits(self, state: State) -> bool:
        """Whether nothing goes out until an event comes: no session, or one that is held."""
        going = state.phase is Phase.ON_AIR and state.held_frame is None
        return not going and not state.announcements and state.plain is None

    def frames_until_change(self, state: State, frame: int) -> int | None:
        """Frames until the story changes by time alone, so that a tick is due; None: never.

        A milestone is met, overdue or stalled, an automatic hint or the timetable is due, an
        `at once` exit opens, or the signal's strength changes.
        """
        moment = Moment(self._plan, state, frame)
        if not moment.going:
            return None
        waits = [*frames_until_pace(moment), *frames_until_due(moment)]
        waits.append(frames_until_signal(moment) or 0)
        if not state.way_out:
            ways = self._plan.exits_by_time.get(state.segment, ())
            waits += [frames_until_true(when, moment.view) or 0 for when in ways]
        return min((wait for wait in waits if wait > 0), default=None)

    def next_mark(self, state: State, frame: int) -> int | None:
        """The next frame on which an entry of the timetable is to land: nothing may run past it."""
        return next_mark(state, frame)

    def again(self, state: State) -> State:
        """The item on air did not go out whole: it is sent again when its turn comes."""
        return sent_again(state)

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
        """What a single event may bring on air: for each segment, the cue that a jump there airs
        first; at stand by, the first cue of a session.
        """
        if state.phase is not Phase.ON_AIR:
            begun = self.receive(state, StartSession(), frame).state
            turns = [self.advance(begun, frame)]
        else:
            bare = replace(
                without_announcements(state),
                held_frame=None,
                way_out=None,
                plain=None,
                inserts=(),
                due=(),
            )
            turns = [
                self.advance(replace(bare, jump=Jump(segment, JumpTiming.NOW)), frame)
                for segment in self.programme.segments
            ]
        return tuple(turn.cue for turn in turns if turn.cue)

    def round_end(
        self, state: State, frame: int, length_of: Callable[[Cue], int], most_items: int
    ) -> int | None:
        """The frame on which the round on air ends if nothing happens but time.

        `frame`: the next border. None: no round is on air, or more items than that are to come.
        """
        for _ in range(most_items):
            turn = self.advance(state, frame)
            if turn.cue is None or turn.cue.part is Part.PLAIN_VOICE:
                return None
            if (turn.state.segment_frame, turn.state.rounds) != (state.segment_frame, state.rounds):
                return frame
            state, frame = turn.state, frame + length_of(turn.cue)
        return None

    def hint_ready(self, state: State, frame: int) -> tuple[HintReady, Cue | None]:
        """What GiveHint would say now, and its cue, so that it can be made ahead."""
        moment = Moment(self._plan, state, frame)
        ladder = self._plan.ladders.get(state.segment)
        rung = next_rung(moment) if moment.on_air and not state.hint_waiting else None
        found = None if ladder is None or rung is None else next_item(moment, ladder, Spot(rung))
        if ladder is None or rung is None or found is None:
            return HintReady(frame, state.segment, 0, len(ladder.items) if ladder else 0, ""), None
        cue = _cue(moment, Part.HINT, *found)
        return HintReady(frame, state.segment, rung + 1, len(ladder.items), cue.text), cue

    # --- events ----------------------------------------------------------------------------

    def go_on(self, state: State, frame: int) -> Turn:
        """Begin with a state that another station had, moved to this one's frames: it is told."""
        moment = Moment(self._plan, state, frame)
        go_on(moment, self.stand_by())
        return _turn(moment)

    def receive(self, state: State, event: InEvent, frame: int) -> Turn:
        """What an event changes. An event that cannot be obeyed changes nothing and is Refused."""
        moment = Moment(self._plan, state, frame)
        try:
            obey(moment, event, self.stand_by())
        except CannotObeyError as error:
            return Turn(state, events=(Refused(frame, str(error)),))
        pace(moment)
        take_exit(moment)
        return _turn(moment)

    def tick(self, state: State, frame: int) -> Turn:
        """Time has passed: what it brings is noted, and an exit taken if one is open at once."""
        moment = Moment(self._plan, state, frame)
        pace(moment)
        note_due(moment)
        take_exit(moment)
        return _turn(moment)

    # --- borders ---------------------------------------------------------------------------

    def advance(self, state: State, frame: int) -> Turn:
        """What comes on air now that an item is over (or has been cut) at this frame.

        A round that ends with no exit open begins again, whether or not the script says `repeat`:
        the air is never dead. (The script room refuses a script that could come to this.) A round
        with nothing to send is filled by the carrier.
        """
        moment = Moment(self._plan, state, frame)
        pace(moment)
        note_due(moment)
        if state.plain:
            return moment.turn(next_plainly(moment, state.plain))
        drop_late(moment)
        moves = empty_rounds = 0
        while moves < self._most_moves and empty_rounds < 2:
            way_out = way_out_of_item(moment)
            found = None if way_out else _next_item(moment)
            if found and isinstance(found[2], SetFacts):
                _set_facts(moment, found[2])
                continue
            if found:
                return _turn(moment, _cue(moment, *found))
            if way_out is None:
                if not moment.going:
                    return _turn(moment)
                _end_round(moment)
                way_out = way_out_of_round(moment)
                empty_rounds += way_out is None
            if way_out:
                follow(moment, way_out)
            moves += 1
        filler = Carrier(carrier=EMPTY_ROUND_S)
        return _turn(moment, _cue(moment, Part.RUNNING_ORDER, Spot(time=1), filler))


def _turn(moment: Moment, cue: Cue | None = None) -> Turn:
    """The answer, the signal with it."""
    follow_signal(moment)
    return moment.turn(cue)


def _next_item(moment: Moment) -> tuple[Part, Spot, Item] | None:
    """What comes now by itself: what is put in, else the segment's next item."""
    inserted = next_inserted(moment)
    if inserted:
        insert, item = inserted
        return insert.part, insert.spot, item
    if not moment.going:
        return None
    order = moment.plan.segments[moment.state.segment]
    found = next_item(moment, order, moment.state.spot)
    if found is None:
        return None
    spot, item = found
    moment.change(spot=spot)
    return Part.RUNNING_ORDER, spot, item


def _set_facts(moment: Moment, item: SetFacts) -> None:
    """Change facts in passing, as the script wants. The room has made no progress by that."""
    for name, value in item.set.items():
        moment.set_fact(name, value, "script")
    pace(moment)


def _end_round(moment: Moment) -> None:
    moment.change(rounds=moment.state.rounds + 1, spot=Spot())
    pace(moment)


def _cue(moment: Moment, part: Part, spot: Spot, item: Item) -> Cue:
    times = moment.times if tells_time(item) else None
    text = text_of(item, moment.facts, times, moment.plan.language_of(item))
    readability = readability_of(moment, part, item)
    segment, rounds = moment.state.segment, moment.state.rounds
    return Cue(segment, item, text, spot.time, rounds + 1, part, readability)
