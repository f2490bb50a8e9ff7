"""The board: folds what the station tells into what the screen shows.

The station tells of a frame when it is made, and the frame is heard a little later. So whatever
belongs to a frame is kept until the loudspeaker has reached it.
"""

from collections import deque
from collections.abc import Iterable
from dataclasses import replace
from datetime import datetime, timedelta
from typing import Protocol, TypeVar

from broadcaster.clock import Clock
from broadcaster.console.foresight import Foresight
from broadcaster.console.logbook import Logbook, log_words
from broadcaster.console.metering import Metering
from broadcaster.console.reception import Reception
from broadcaster.console.speaking import Speaking
from broadcaster.console.team import Team, branches_from
from broadcaster.console.timing import SessionTime, air_view, cue_views, left_s
from broadcaster.console.view import (
    AirView,
    FactView,
    Phase,
    SegmentView,
    View,
    WaitView,
    Weight,
)
from broadcaster.console.waiting import WaitingJump
from broadcaster.console.words import one_line
from broadcaster.record.reading import frame_of
from broadcaster.script.programme import Programme
from broadcaster.story.events import (
    Coming,
    FactChanged,
    Held,
    ItemAired,
    ItemStarted,
    JumpTiming,
    OutEvent,
    OutputState,
    Resumed,
    RoundEnds,
    SegmentEntered,
    SessionClock,
    SessionEnded,
    SessionRestored,
    SessionStarted,
    StationClosed,
    StationOpened,
)
from broadcaster.story.pacing import OPERATOR
from broadcaster.story.restoring import RESTORE_FRAMES
from broadcaster.units import frames_from_seconds, seconds_from_frames

TRUSTED_S = 1.0
"""How long the loudspeaker's place is reckoned on without a word from the output."""
REMEMBERED = 32
"""How many items, entries and forecasts are kept; more than a station tells ahead."""
RESET = "reset"
"""Why a session ended, or a fact changed, so that the facts are as in the script already."""


class _Framed(Protocol):
    @property
    def frame(self) -> int: ...


Told = TypeVar("Told", bound=_Framed)


class Board:
    """A fold of events; view() is the moment that the loudspeaker has reached."""

    def __init__(self, programme: Programme, clock: Clock) -> None:
        self._programme = programme
        self._clock = clock
        self._logbook = Logbook()
        self._foresight = Foresight(programme)
        self._open(clock.wall())
        self._phase = Phase.OFF_AIR
        self.closed = False
        """Whether the station has said its last word."""

    def _open(self, wall: datetime) -> None:
        self._phase = Phase.STAND_BY
        self._opened = wall
        self._started: SessionStarted | None = None
        self._ended: SessionEnded | None = None
        self._items: deque[ItemStarted] = deque(maxlen=REMEMBERED)
        self._entered: deque[SegmentEntered] = deque(maxlen=REMEMBERED)
        self._coming: deque[Coming] = deque(maxlen=REMEMBERED)
        self._rounds: deque[RoundEnds] = deque(maxlen=REMEMBERED)
        self._held = False
        self._time = SessionTime()
        self._team = Team(self._programme)
        self._speaking = Speaking()
        self._reception = Reception(self._programme)
        self._jump = WaitingJump()
        self._facts = self._facts_of_script()
        self._facts_stale = False
        self._meter = Metering(self._clock.seconds())

    def _facts_of_script(self) -> dict[str, FactView]:
        facts = self._programme.facts
        return {
            name: FactView(name, fact.at_first, "", "", fact.one_of) for name, fact in facts.items()
        }

    def _wall(self, frame: int) -> datetime:
        return self._opened + timedelta(seconds=seconds_from_frames(frame))

    # --- in ----------------------------------------------------------------------------------

    def note(self, sentence: str, weight: Weight = Weight.NOTE) -> None:
        """Take a sentence that comes from the desk and not from the station."""
        self._logbook.write(self._clock.wall(), weight, sentence)

    def apply(self, event: OutEvent) -> None:
        """Take what the station tells, in its order."""
        match event:
            case OutputState():
                self._meter.hear(event, self._clock.seconds())
            case ItemStarted():
                self._items.append(event)
            case ItemAired():
                self._correct_end(event)
            case SegmentEntered():
                self._entered.append(event)
            case Coming():
                self._coming.append(event)
            case RoundEnds():
                self._rounds.append(event)
            case SessionClock():
                self._time.hear(event)
            case FactChanged():
                self._change_fact(event)
            case _:
                self._change_phase(event)
        frame = frame_of(event)
        session_s = self._time.at(frame)
        self._team.hear(event, session_s)
        self._speaking.hear(event, self._wall(frame))
        self._reception.hear(event)
        words = None if self._team.is_old(event, session_s) else log_words(event)
        for frame, weight, sentence in self._jump.hear(event) + ([words] if words else []):
            self._logbook.write(self._wall(frame), weight, sentence)

    def key_pressed(self) -> None:
        """A refusal answers a key, and goes with the next one."""
        self._logbook.forget_refusal()

    def _change_fact(self, event: FactChanged) -> None:
        known = self._facts.get(event.fact)
        names = known.names if known else ()
        at = f"{self._wall(event.frame):%H:%M}"
        self._facts[event.fact] = FactView(event.fact, event.value, event.source, at, names)
        if event.source == RESET:
            self._facts_stale = False

    def _change_phase(self, event: OutEvent) -> None:
        match event:
            case StationOpened():
                self._open(datetime.fromisoformat(event.wall))
            case SessionStarted():
                if self._facts_stale:  # what the last team made true is not true for this one
                    self._facts = self._facts_of_script()
                self._facts_stale = False
                self._phase, self._started, self._ended = Phase.ON_AIR, event, None
                self._held = False
                self._logbook.forget_refusal()
            case SessionRestored():
                self._phase, self._ended, self._held = Phase.ON_AIR, None, False
                self._facts_stale = False
            case Held() | Resumed():
                self._held = isinstance(event, Held)
            case SessionEnded():
                self._end_session(event)
            case StationClosed():
                self._phase, self.closed = Phase.OFF_AIR, True
                self._jump.forget()

    def _end_session(self, event: SessionEnded) -> None:
        """An end that is older than the session is of an earlier one: a station that is met again
        tells how things stand, and then what it could not tell before."""
        self._facts_stale = event.why != RESET
        if self._started is None or event.frame >= self._started.frame:
            self._phase, self._ended, self._held = Phase.STAND_BY, event, False
            self._jump.forget()

    def _correct_end(self, event: ItemAired) -> None:
        """An item that was cut ended earlier than it was told to."""
        for place, item in enumerate(self._items):
            if item.start_frame == event.start_frame:
                self._items[place] = replace(item, end_frame=event.end_frame)

    # --- out ---------------------------------------------------------------------------------

    def view(self) -> View:
        """What the screen shows now."""
        heard = self.heard_frame()
        entered = self._latest(self._entered, heard) if self._phase is Phase.ON_AIR else None
        segment = entered.segment if entered else ""
        coming = self._latest(self._coming, heard)
        round_end = self._latest(self._rounds, heard) if self._phase is Phase.ON_AIR else None
        return View(
            programme=one_line(self._programme.programme),
            callsign=one_line(self._programme.station.callsign),
            frequency_hz=self._programme.station.frequency,
            phase=self._phase,
            session_s=self._time.at(heard),
            session_length_s=self._programme.session,
            began_frame=self._started.frame if self._started else None,
            held=self._held,
            restorable=self._restorable(heard),
            air=self._air_view(heard),
            round_left_s=left_s(round_end.end_frame, heard) if round_end else None,
            round_exact=round_end.exact if round_end else True,
            clue_at_stake=self._clue_at_stake(),
            segment=segment,
            why=one_line(entered.why) if entered else "",
            coming=cue_views(coming) if coming else (),
            waiting=self._wait_view(heard, round_end),
            opening=self._programme.opening,
            segments=tuple(self._segment_views(segment)),
            facts=tuple(self._facts.values()),
            facts_of_last_session=self._facts_stale and self._phase is Phase.STAND_BY,
            milestones=self._team.milestones(),
            hint=self._team.hint if self._phase is Phase.ON_AIR else None,
            hint_due=self._team.hint_due if self._phase is Phase.ON_AIR else None,
            branches=branches_from(self._programme, segment),
            announcements=self._speaking.waiting,
            spoken=self._speaking.spoken,
            plain=self._speaking.plain,
            plain_text=one_line(self._programme.plain_voice_text),
            reception=self._reception.view(segment),
            output=self._meter.view(self._clock.seconds()),
            log=self._logbook.lines,
            alert=self._logbook.alert(self._wall(heard)),
        )

    def heard_frame(self) -> int:
        """The frame at the loudspeaker now: the output's last word, and the time since."""
        output = self._meter.state
        if output is None:
            return 0
        since_s = self._clock.seconds() - self._meter.told_s
        return output.heard_frame + (
            frames_from_seconds(min(TRUSTED_S, since_s)) if output.playing else 0
        )

    def _latest(self, told: Iterable[Told], heard: int) -> Told | None:
        """The last of what was told that belongs to the item at the loudspeaker.

        What is told in the middle of an item holds at once, not only when its frame is heard.
        """
        border = min((i.start_frame for i in self._items if i.start_frame > heard), default=None)
        known = [event for event in told if border is None or event.frame < border]
        return known[-1] if known else None

    def _clue_at_stake(self) -> str | None:
        """A jump cuts what the station is making, which may be an item not heard yet."""
        if self._phase is not Phase.ON_AIR or not self._items:
            return None
        clue = self._items[-1].clue
        return one_line(clue) if clue else None

    def _restorable(self, heard: int) -> bool:
        ended = self._ended
        by_hand = ended is not None and ended.why in (OPERATOR, RESET)
        return by_hand and ended is not None and heard < ended.frame + RESTORE_FRAMES

    def _wait_view(self, heard: int, round_end: RoundEnds | None) -> WaitView | None:
        """The jump that waits, and for how long."""
        wait = self._jump.view
        if wait is None:
            return None
        if wait.timing is JumpTiming.AFTER_ROUND:
            end, exact = (round_end.end_frame, round_end.exact) if round_end else (None, True)
            return replace(wait, left_s=left_s(end, heard), exact=exact)
        return replace(wait, left_s=left_s(self._items[-1].end_frame if self._items else 0, heard))

    def _air_view(self, heard: int) -> AirView | None:
        if self._phase is Phase.OFF_AIR:
            return None
        for item in reversed(self._items):
            if item.start_frame <= heard < item.end_frame:
                return air_view(item, heard)
        return None

    def _segment_views(self, on_air: str) -> Iterable[SegmentView]:
        waiting = self._jump.view
        facts = {fact.name: fact.value for fact in self._facts.values()}
        for number, (name, segment) in enumerate(self._programme.segments.items(), start=1):
            waits = waiting.timing if waiting and waiting.segment == name else None
            warning = self._foresight.warning(name, facts) if self._phase is Phase.ON_AIR else ""
            yield SegmentView(number, name, one_line(segment.about), name == on_air, waits, warning)
