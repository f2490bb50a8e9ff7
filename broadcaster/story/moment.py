"""One moment of the story in the making: the state so far, and what is told of it."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from broadcaster.script.conditions import Expression
from broadcaster.script.programme import Segment
from broadcaster.script.transitions import Transition
from broadcaster.story.cue import Cue, Times
from broadcaster.story.events import FactChanged, FactState, OutEvent, Part, SessionClock
from broadcaster.story.judging import Line, View, holds
from broadcaster.story.plan import Plan
from broadcaster.story.state import Phase, State, Turn
from broadcaster.units import seconds_from_frames

_SEEN = frozenset(
    [
        "facts",
        "rounds",
        "hints",
        "stalled",
        "met",
        "held_frame",
        "session_frame",
        "segment_frame",
        "quiet_frame",
    ]
)
"""What of a state a condition can ask about."""


class Moment:
    """A frame at which the story is asked something; the state it began with is left as it was."""

    def __init__(self, plan: Plan, state: State, frame: int) -> None:
        self.plan = plan
        self.state = state
        self.frame = frame
        self.cut = False
        """The item on air must give way now."""
        self.again = False
        """And is to be sent again."""
        self.transition: Transition | None = None
        """What was chosen to lie between the segment that was left and what comes now."""
        self._told: list[OutEvent] = []
        self._plain_at_first = state.plain is not None
        self._view: View | None = None

    def change(self, **changes: Any) -> None:  # noqa: ANN401  replace() takes any field
        """Go on from the state with these changes."""
        self.state = replace(self.state, **changes)
        if not _SEEN.isdisjoint(changes):
            self._view = None

    def change_to(self, state: State) -> None:
        """Go on from another state."""
        self.state, self._view = state, None

    def tell(self, event: OutEvent) -> None:
        """Add to what is told."""
        self._told.append(event)

    def tell_clock(self) -> None:
        """Tell what the session's clock shows, and whether it runs."""
        session = 0 if self.state.phase is Phase.STAND_BY else self.session
        self.tell(SessionClock(self.frame, session, self.going))

    def turn(self, cue: Cue | None = None) -> Turn:
        """The answer. The plain voice gives way to nothing but its own end."""
        cut = self.cut and not (self._plain_at_first and self.state.plain)
        told = tuple(self._told)
        return Turn(self.state, cue, told, cut, self.transition, cut and self.again)

    # --- what there is to know ---------------------------------------------------------------

    @property
    def on_air(self) -> bool:
        """Whether a session is."""
        return self.state.phase is Phase.ON_AIR

    @property
    def going(self) -> bool:
        """Whether a session is on air and not held."""
        return self.on_air and self.state.held_frame is None

    @property
    def announcing(self) -> bool:
        """Whether the operator speaks."""
        inserts = self.state.inserts
        return bool(inserts) and inserts[-1].part is Part.ANNOUNCEMENT

    @property
    def clock(self) -> int:
        """The frame that the session's clock shows: while it is held, the one it stopped at."""
        held = self.state.held_frame
        return self.frame if held is None else held

    @property
    def session(self) -> int:
        """Frames of session time."""
        return self.clock - self.state.session_frame

    @property
    def segment(self) -> Segment | None:
        """The segment on air; None before the first."""
        return self.plan.programme.segments.get(self.state.segment)

    @property
    def signal(self) -> Expression | None:
        """What the script says of the signal now: the segment, else the station."""
        own = self.segment.signal if self.segment else None
        return own or self.plan.programme.station.signal

    @property
    def facts(self) -> Mapping[str, FactState]:
        """The facts by name."""
        return self.view.facts

    @property
    def times(self) -> Times:
        """What a text can tell of time."""
        return Times(
            session_s=seconds_from_frames(self.session),
            left_s=seconds_from_frames(self.plan.session_frames - self.session),
            clock=self.plan.time_of_day(self.frame),
        )

    @property
    def view(self) -> View:
        """What a condition may ask about."""
        if self._view is None:
            state, session = self.state, self.session
            self._view = View(
                facts=dict(zip(self.plan.fact_names, state.facts, strict=True)),
                times={
                    "session time": Line(session, 1),
                    "segment time": Line(self.clock - state.segment_frame, 1),
                    "quiet time": Line(self.clock - state.quiet_frame, 1),
                    "time left": Line(self.plan.session_frames - session, -1),
                },
                counts={"rounds": state.rounds, "hints given": state.hints},
                stalled=state.stalled,
                met=state.met,
            )
        return self._view

    def holds(self, condition: Expression | None) -> bool:
        """Whether a condition is true now; no condition always is."""
        return condition is None or holds(condition, self.view)

    def set_fact(self, name: str, value: FactState, source: str) -> bool:
        """Give a fact a value that it can hold; False if it has it already."""
        facts = dict(self.facts)
        if facts[name] == value:
            return False
        facts[name] = value
        self.change(facts=tuple(facts.values()))
        self.tell(FactChanged(self.frame, name, value, source))
        return True
