"""How a random team solves a milestone: after a while, by making its condition true.

The facts that it changes are as few as will do, and numbers move as little as they can, all at
once. A condition may ask for facts of all kinds, compared and joined in any way; one that asks for
times or counts, or has too many facts to be tried, is refused.
"""

import math
import random
from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import combinations, islice, product

from broadcaster.errors import UsageError
from broadcaster.script.condition_tree import Met, NamedCount, NamedTime, Stalled, nodes_of
from broadcaster.script.conditions import Expression, FactName, NumberLiteral
from broadcaster.script.programme import Fact, FactState, Programme
from broadcaster.story.judging import View, holds
from broadcaster.units import frames_from_seconds

MOST_TRIALS = 20_000
"""So many ways to solve a milestone are tried."""
HINT_LEAVES = 0.5
"""What a hint leaves of the time that a team still needs. Chosen: nobody has measured it."""


@dataclass(frozen=True, slots=True)
class Task:
    """A milestone as a team meets it."""

    milestone: str
    when: Expression
    usual_s: float
    """The median over all teams, counted from when the task before it is solved."""
    spread: float
    """The geometric standard deviation."""
    by_frames: int
    """The milestone's target, in session time."""
    stalled_frames: int
    """Its hint time."""

    def frames(self, chance: random.Random) -> int:
        """How long one team takes: log-normal, as solving times commonly are."""
        times = chance.lognormvariate(0.0, math.log(self.spread))
        return max(1, frames_from_seconds(self.usual_s * times))


def tasks_of(programme: Programme) -> tuple[Task, ...]:
    """The milestones as tasks, in the order of their targets.

    Raises UsageError where there are none, or one that a random team cannot solve.
    """
    if not programme.milestones:
        raise UsageError(
            "Random teams need milestones, and the script has none. "
            "Add `milestones: {lamp: {when: lamp_lit, by: 12 min, usual: 10 min}}`."
        )
    tasks: list[Task] = []
    before_s = 0.0
    for name, milestone in sorted(programme.milestones.items(), key=lambda each: each[1].by):
        _refuse_unsolvable(name, milestone.when, programme)
        since_s = milestone.by - before_s if milestone.by > before_s else milestone.by
        tasks.append(
            Task(
                name,
                milestone.when,
                since_s if milestone.usual is None else milestone.usual,
                milestone.spread,
                frames_from_seconds(milestone.by),
                frames_from_seconds(milestone.stalled_after),
            )
        )
        before_s = milestone.by
    return tuple(tasks)


def _refuse_unsolvable(name: str, when: Expression, programme: Programme) -> None:
    asked = NamedTime | NamedCount | Stalled | Met
    facts = {fact: declared.at_first for fact, declared in programme.facts.items()}
    if any(isinstance(node, asked) for node in nodes_of(when.root)):
        why = "it asks for more than facts"
    elif solution(when, facts, programme.facts) is None:
        why = f"none of {MOST_TRIALS} ways to change its facts makes it true"
    else:
        return
    raise UsageError(
        f"A random team cannot solve the milestone `{name}` (`{when.source}`): {why}. "
        "Ask for facts that the room tells, such as `lamp_lit and crates_open >= 3`."
    )


def solution(
    when: Expression, facts: Mapping[str, FactState], declared: Mapping[str, Fact]
) -> dict[str, FactState] | None:
    """The fewest changes that make a condition true, least far; None if none was found."""
    if _true(when, facts):
        return {}
    asked = list(
        dict.fromkeys(node.name for node in nodes_of(when.root) if isinstance(node, FactName))
    )
    wanted = {name: list(_candidates(name, when, facts, declared)) for name in asked}
    trials = (
        dict(zip(names, values, strict=True))
        for count in range(1, len(asked) + 1)
        for names in combinations(asked, count)
        for values in product(*(wanted[name] for name in names))
    )
    best: dict[str, FactState] | None = None
    for changes in islice(trials, MOST_TRIALS):
        if best is not None and len(changes) > len(best):
            break
        if (best is None or _far(changes, facts) < _far(best, facts)) and _true(
            when, {**facts, **changes}
        ):
            best = changes
    return best


def solves(task: Task, facts: Mapping[str, FactState]) -> bool:
    """Whether the facts, as they are, meet a task's milestone."""
    return _true(task.when, facts)


def _true(when: Expression, facts: Mapping[str, FactState]) -> bool:
    return holds(when, View(facts=facts, times={}, counts={}))


def _candidates(
    name: str, when: Expression, facts: Mapping[str, FactState], declared: Mapping[str, Fact]
) -> Iterator[FactState]:
    """What a fact may come to hold: of a number, what is at and beside all it may be held against.

    Least far first.
    """
    fact, now = declared[name], facts[name]
    if fact.kind == "a yes or no":
        yield not now
    elif fact.kind == "a name":
        yield from (other for other in fact.one_of if other != now)
    else:
        marks = {node.value for node in nodes_of(when.root) if isinstance(node, NumberLiteral)}
        marks |= {int(value) for value in facts.values() if not isinstance(value, str)}
        marks |= {bound for bound in (fact.from_, fact.to) if bound is not None}
        near = {mark + step for mark in marks for step in (-1, 0, 1)} - {int(now)}
        yield from sorted(
            (value for value in near if fact.refusal(value) is None),
            key=lambda value: (abs(value - int(now)), value),
        )


def _far(changes: Mapping[str, FactState], facts: Mapping[str, FactState]) -> int:
    """How far the numbers move, all in all; other changes count one each."""
    return sum(
        1
        if isinstance(value, bool | str) or isinstance(facts[name], str)
        else abs(value - int(facts[name]))
        for name, value in changes.items()
    )
