"""One random team's session, on the virtual clock.

Nobody sits at the console: of hints a team gets those that the station gives by itself.
"""

import random
from collections.abc import Sequence
from dataclasses import dataclass, field

from broadcaster.air.items import ItemSource
from broadcaster.air.playout import Playout
from broadcaster.rehearsal.solving import HINT_LEAVES, Task, solution, solves
from broadcaster.script.programme import FactState, Programme
from broadcaster.story.choosing import chance
from broadcaster.story.events import (
    FactChanged,
    HintGiven,
    ItemAired,
    OutEvent,
    SegmentEntered,
    SessionEnded,
    SetFact,
    StartSession,
)
from broadcaster.units import frames_from_seconds

SOURCE = "team"


@dataclass(slots=True)
class TeamSession:
    """What came of one team. Frames count from the session's start."""

    entered: dict[str, int] = field(default_factory=dict)
    """The segments that it heard, and when each began first."""
    solved: dict[str, int] = field(default_factory=dict)
    """When it solved each milestone."""
    needed: dict[str, int] = field(default_factory=dict)
    """For each clue when the team came first to a segment that sends it."""
    heard: dict[str, int] = field(default_factory=dict)
    """For each such clue when it had gone out whole for the first time after that."""
    times: dict[str, int] = field(default_factory=dict)
    """How often each such clue went out whole after that."""
    hints: int = 0
    ended: int | None = None
    """When the story ended; None if it did not within the session's planned length."""
    last_segment: str = ""
    """The segment that was on air at the end."""


class Player:
    """Plays teams of one programme."""

    def __init__(
        self, programme: Programme, tasks: Sequence[Task], items: ItemSource, seed: int
    ) -> None:
        self._programme = programme
        self._tasks = tasks
        self._items = items
        self._seed = seed
        self._length = frames_from_seconds(programme.session)
        self._clues = {
            name: frozenset(item.clue for item in segment.play if item.clue)
            for name, segment in programme.segments.items()
        }

    def play(self, number: int) -> TeamSession:
        """The team of that number: the same for the same seed, whoever played before."""
        chances = random.Random(f"{self._seed} {number}")
        takes = [task.frames(chances) for task in self._tasks]
        playout = Playout(
            self._programme,
            self._items,
            seed=chance(self._seed, number, 0),
            length=self._length,
            looks_ahead=False,
        )
        playout.receive(StartSession())
        team = _Team(self._programme, self._tasks, takes, self._clues)
        while playout.frame < self._length and team.session.ended is None:
            if playout.frame == team.solves:
                for event in team.solve(playout.frame):
                    playout.receive(event)
            _go_on(playout, team, min(self._length, team.solves or self._length))
        return team.session


def _go_on(playout: Playout, team: "_Team", stop: int) -> None:
    """On to a frame, or to where the team's plans change or its session ends."""
    planned = team.solves
    for _ in playout.run(stop):
        for event in playout.take_events():
            team.hear(event)
        if team.solves != planned or team.session.ended is not None:
            return


class _Team:
    """A team at work on its tasks, one after the other."""

    def __init__(
        self,
        programme: Programme,
        tasks: Sequence[Task],
        takes: Sequence[int],
        clues: dict[str, frozenset[str]],
    ) -> None:
        self.session = TeamSession()
        self.solves: int | None = takes[0]
        """The frame on which it solves its task; None: it has solved all."""
        self._declared = programme.facts
        self._facts: dict[str, FactState] = {
            name: fact.at_first for name, fact in programme.facts.items()
        }
        self._tasks = tasks
        self._takes = takes
        self._clues = clues
        self._task = 0

    def solve(self, frame: int) -> list[SetFact]:
        """Solve the task; what the room tells of it. The next begins, unless it is solved too."""
        changes = solution(self._tasks[self._task].when, self._facts, self._declared)
        if changes is None:  # not from where the facts are now: the team does not get on
            self.solves = None
            return []
        facts = {**self._facts, **changes}
        while self._task < len(self._tasks) and solves(self._tasks[self._task], facts):
            self.session.solved[self._tasks[self._task].milestone] = frame
            self._task += 1
        more = self._task < len(self._tasks)
        self.solves = frame + self._takes[self._task] if more else None
        return [SetFact(name, value, SOURCE) for name, value in changes.items()]

    def hear(self, event: OutEvent) -> None:
        """Take in what the station tells."""
        session = self.session
        match event:
            case SegmentEntered(frame, segment):
                session.entered.setdefault(segment, frame)
                session.last_segment = segment
                for clue in self._clues[segment]:
                    session.needed.setdefault(clue, frame)
            case ItemAired(clue=str() as clue, complete=True, end_frame=frame):
                if clue in session.needed:
                    session.heard.setdefault(clue, frame)
                    session.times[clue] = session.times.get(clue, 0) + 1
            case FactChanged(fact=fact, value=value):
                self._facts[fact] = value
            case HintGiven(frame):
                session.hints += 1
                if self.solves is not None:
                    self.solves = frame + round((self.solves - frame) * HINT_LEAVES)
            case SessionEnded(frame):
                session.ended = frame
