"""Playout: the story on the frame count. Which item is on air from which frame to which, and why.

Nothing here knows of real time or makes sound: a broadcast mixes what is on air, a rehearsal may
only count. Any cutting into runs gives the same.
"""

import heapq
from collections import deque
from collections.abc import Callable, Iterator
from dataclasses import replace
from datetime import datetime

from broadcaster.air.foresight import Foresight, announcements_among
from broadcaster.air.items import Failure, ItemSource, Made
from broadcaster.air.lengths import Lengths
from broadcaster.air.on_air import OnAir, Stretch, aired, idle, passing, stand_in, started
from broadcaster.air.roughness import Roughness
from broadcaster.air.timing import Timing, timing_here
from broadcaster.period.lengths import frames_of, whole_frames_of
from broadcaster.script.programme import Programme
from broadcaster.script.transitions import Transition
from broadcaster.story.cue import Carrier, Cue, prepared_plainly
from broadcaster.story.events import OF_THE_OPERATOR, InEvent, Keyed, OutEvent, Part, Trouble
from broadcaster.story.machine import Story
from broadcaster.story.state import Phase, State, Turn
from broadcaster.units import frames_from_seconds, seconds_from_frames

FADE_FRAMES = frames_from_seconds(0.03)
"""How long a cut item takes to fade. Chosen by ear."""
COVER_FRAMES = frames_from_seconds(0.1)
"""How long the carrier covers for an item that is late, before it is asked for again."""
LATE_LIMIT_FRAMES = frames_from_seconds(10.0)
"""An item later than this is given up."""
FAILED_FRAMES = frames_from_seconds(2.0)
"""How long the carrier stands in for an item that cannot be made."""
PLAIN_PATIENCE_FRAMES = frames_from_seconds(0.3)
"""How long the plain voice waits for a new text before it says the prepared one."""
FAR = 1 << 62
"""A frame that no broadcast reaches."""


class Playout:
    """One programme's playout, from frame 0 on; run() moves it."""

    def __init__(
        self,
        programme: Programme,
        items: ItemSource,
        *,
        seed: int = 0,
        length: int | None = None,
        opened: datetime | None = None,
        state: State | None = None,
        looks_ahead: bool = True,
        timing_of: Callable[[Cue], Timing] = timing_here,
    ) -> None:
        """`length`: frames after which it is over; None: until finish(). `opened`: the time of day
        at frame 0. `state`: of another playout's checkpoint, from which this one goes on. Who does
        not look ahead asks for no item before its turn, and tells nothing of
        what comes. `timing_of`: that of an item that was fetched.
        """
        self.frame = 0
        """Frames decided so far."""
        self.length = length
        self._story = Story(programme, seed, opened)
        self._state = self._story.stand_by()
        self._items = items
        self._prepared = prepared_plainly(programme)
        self._looks_ahead = looks_ahead
        self._agenda: list[tuple[int, int, InEvent]] = []
        self._agenda_count = 0
        self._told: deque[OutEvent] = deque()
        self._on_air = OnAir(idle(Phase.STAND_BY, ""), 0, None)
        self._wake: int | None = 0
        self._roughness = Roughness()
        self._news = False
        """Whether something has changed since it last looked ahead."""
        self._timing_of = timing_of
        self._lengths = Lengths(programme)
        self._foresight = Foresight(self._story, items, self._lengths)
        if state:
            self._take(self._story.go_on(state, 0), 0)

    @property
    def checkpoint(self) -> State:
        """Where the story stands, for another playout to go on if this one comes to grief: what is
        on air is sent again then.
        """
        return self._story.again(self._state) if self._on_air.end is not None else self._state

    def receive(self, event: InEvent, frame: int | None = None) -> None:
        """Take an event in: on its frame, or (None, or a frame gone by) as soon as may be.

        Events on the same frame are obeyed in the order in which they were received.
        """
        moment = max(self.frame, frame or 0)
        heapq.heappush(self._agenda, (moment, self._agenda_count, event))
        self._agenda_count += 1

    def obey(self) -> None:
        """Obey now what has come for the frame at which playout stands.

        That frame is not decided yet: it comes to the same as if run() had done it.
        """
        if not self._past_end():
            self._obey(self.frame)

    def finish(self) -> None:
        """End with what is decided by now."""
        if not self._past_end():
            self.length = self.frame
            self._close(self.frame)

    def take_events(self) -> list[OutEvent]:
        """What happened since last asked, in order."""
        told = list(self._told)
        self._told.clear()
        return told

    def run(self, stop: int) -> Iterator[Stretch]:
        """Go on to a frame, stretch by stretch; past the end there are none."""
        while self.frame < stop and not self._past_end():
            now = self.frame
            self._obey(now)
            if self._wake is not None and now >= self._wake:
                self._take(self._story.tick(self._state, now), now)
                self._news = True
            if self._on_air.end is not None and now >= self._on_air.end:
                self._cross_border(now)
            if self._news:
                self._look_ahead(now)
            until = min(stop, self._next_moment())
            yield Stretch(now, until, self._on_air, self._state.strength)
            self.frame = until
            if self._past_end():
                self._close(self.frame)
        self.frame = max(self.frame, stop)

    def _past_end(self) -> bool:
        return self.length is not None and self.frame >= self.length

    def _next_moment(self) -> int:
        moments = [self._on_air.end, self._wake, self.length]
        if self._agenda:
            moments.append(self._agenda[0][0])
        return min(moment for moment in (*moments, FAR) if moment is not None)

    # --- what the story decides --------------------------------------------------------------

    def _obey(self, now: int) -> None:
        while self._agenda and self._agenda[0][0] <= now:
            event = heapq.heappop(self._agenda)[2]
            self._take(self._story.receive(self._state, event, now), now)

    def _take(self, turn: Turn, now: int) -> None:
        self._news |= turn.state is not self._state
        self._state = turn.state
        self._told.extend(turn.events)
        if self._on_air.end is None:
            if not self._story.waits(self._state):
                self._on_air.end = now
        elif turn.cut and self._cut(now, self._on_air.end) and turn.again:
            self._state = self._story.again(self._state)

    def _cut(self, now: int, end: int) -> bool:
        """Let the item on air give way; whether it did not go out whole."""
        on_air = self._on_air
        if on_air.samples is None:
            if not on_air.transition:  # which is too short to be cut
                on_air.end = now
            kept_back, on_air.awaited = on_air.awaited is not None, None
            return kept_back
        if end - now <= FADE_FRAMES:
            return False
        on_air.fade_from, on_air.end = now, now + FADE_FRAMES
        return True

    def _cross_border(self, now: int) -> None:
        """The item on air is over: what was awaited, or what the story wants next."""
        was = self._on_air
        self._close(now)
        if was.awaited:
            self._begin(was.awaited, now, was.awaited_since)
        else:
            turn = self._story.advance(self._state, now)
            self._state = turn.state
            self._told.extend(turn.events)
            covers_cut: Transition = "cut" if was.fade_from is None else "static burst"
            if self._give_way(turn.transition or covers_cut, turn.cue, now):
                pass
            elif turn.cue:
                self._begin(turn.cue, now, now)
            else:
                self._air(OnAir(idle(self._state.phase, self._state.segment), now, None))
        self._news = True

    def _give_way(self, transition: Transition, cue: Cue | None, now: int) -> bool:
        """Let a transition pass before the next cue; False if there is none, or no room for it.

        A clue waits until nothing of it is hidden. What the timetable puts in, and the plain
        voice, do not wait.
        """
        clue = cue.item.clue if cue else None
        until = now + (whole_frames_of(transition) if clue else frames_of(transition))
        at_once = cue and cue.part in (Part.TIMETABLE, Part.PLAIN_VOICE)
        hurries = cue and (at_once or until > self._mark(cue, now))
        if hurries or until == now:
            return False
        between = passing(transition, self._state.segment)
        self._air(
            OnAir(between, now, until, awaited=cue, awaited_since=until, transition=transition)
        )
        return True

    def _begin(self, cue: Cue, now: int, since: int) -> None:
        if isinstance(cue.item, Carrier):
            self._air_carrier(cue, now, frames_from_seconds(cue.item.carrier))
            return
        made = self._items.fetch(cue)
        if cue.part is Part.PLAIN_VOICE and (made is None or isinstance(made, Failure)):
            self._say_the_prepared(cue, made, now, since)
            return
        if made is None and now - since >= LATE_LIMIT_FRAMES:
            waited = seconds_from_frames(now - since)
            made = Failure(f"was not ready after {waited:.0f} s")
        if made is None:
            self._wait_for(cue, now, since)
        elif isinstance(made, Failure):
            self._tell_trouble(cue, now, made.sentence)
            self._air_carrier(stand_in(cue), now, FAILED_FRAMES)
        elif now + len(made.samples) > self._mark(cue, now):
            self._state = self._story.again(self._state)
            self._air_carrier(stand_in(cue), now, len(made.samples))
        else:
            self._air_item(cue, now, made)

    def _say_the_prepared(self, cue: Cue, failure: Failure | None, now: int, since: int) -> None:
        """The plain voice has no sound for its text: it says the prepared one, or rests."""
        if failure:
            self._tell_trouble(cue, now, failure.sentence)
        elif now - since < PLAIN_PATIENCE_FRAMES and cue.text != self._prepared.text:
            self._cover_for(cue, now, since)
            return
        made = self._items.fetch(self._prepared)
        if made is None or isinstance(made, Failure):
            self._cover_for(cue, now, since)
        else:
            prepared = replace(self._prepared, segment=cue.segment, time=cue.time, round=cue.round)
            self._air(OnAir(prepared, now, now + len(made.samples), made.samples))

    def _mark(self, cue: Cue, now: int) -> int:
        """The frame past which what begins now must not run: an entry is to land on it.

        What the operator says goes out whatever the timetable wants.
        """
        mark = self._story.next_mark(self._state, now)
        return FAR if mark is None or cue.part in OF_THE_OPERATOR else mark

    def _wait_for(self, cue: Cue, now: int, since: int) -> None:
        gives_way = now + COVER_FRAMES >= self._mark(cue, now)
        late = now == since + COVER_FRAMES or (now == since and gives_way)
        # Less than a slice is no fault, and an announcement is what nobody could make ahead.
        if late and cue.part is not Part.ANNOUNCEMENT:
            self._tell_trouble(cue, now, "is not ready yet")
        if gives_way:
            self._state = self._story.again(self._state)
            self._air_carrier(stand_in(cue), now, COVER_FRAMES)
        else:
            self._cover_for(cue, now, since)

    def _cover_for(self, cue: Cue, now: int, since: int) -> None:
        until = now + COVER_FRAMES
        self._air(OnAir(stand_in(cue), now, until, awaited=cue, awaited_since=since))

    def _tell_trouble(self, cue: Cue, now: int, what: str) -> None:
        clue = f" (the clue {cue.item.clue!r})" if cue.item.clue else ""
        sentence = f"The {cue.item.kind} {cue.text!r}{clue} {what}; the carrier stands in."
        self._told.append(Trouble(now, sentence))

    def _air_item(self, cue: Cue, now: int, made: Made) -> None:
        on_air = OnAir(cue, now, now + len(made.samples), made.samples)
        on_air.roughness = self._roughness.of(cue, made)
        on_air.readability = made.readability
        self._air(on_air)

    def _air_carrier(self, cue: Cue, now: int, frames: int) -> None:
        end = min(now + max(1, frames), self._mark(cue, now))
        self._air(OnAir(cue, now, end))

    def _air(self, on_air: OnAir) -> None:
        self._on_air = on_air
        if on_air.end is not None:
            timing = Timing() if on_air.samples is None else self._timing_of(on_air.cue)
            self._told.append(started(on_air, on_air.end, timing.words))
            if timing.marks:
                self._told.append(Keyed(on_air.start, timing.marks))
        if on_air.samples is not None:
            self._lengths.learn(on_air.cue, len(on_air.samples))

    def _close(self, now: int) -> None:
        """Write the as-run entry of the item on air."""
        on_air = self._on_air
        if now == on_air.start:
            return
        complete = on_air.fade_from is None and (on_air.end is None or on_air.end <= now)
        self._told.append(aired(on_air, now, complete=complete))

    # --- looking ahead -----------------------------------------------------------------------

    def _look_ahead(self, now: int) -> None:
        """Once for all that is new on a frame: it takes a hundred times as long as an event."""
        self._news = False
        wait = self._story.frames_until_change(self._state, now)
        self._wake = now + wait if wait else None
        if not self._looks_ahead:
            return
        agenda = (event for _, _, event in sorted(self._agenda))
        self._told += self._foresight.look(
            self._state, now, self._on_air, announcements_among(agenda)
        )
