"""A programme stripped to what decides where its story goes, for the machine itself to run.

What is sent does not matter to a proof, only that something is. The items that change nothing are
pauses here, and the exits' texts are their numbers, so that the machine itself tells which it took.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass

from broadcaster.rehearsal.proof_values import Borders, borders, fact_values
from broadcaster.script.condition_tree import (
    Expression,
    Met,
    Stalled,
    YesNoLiteral,
    facts_in,
    nodes_of,
)
from broadcaster.script.facts import FactState
from broadcaster.script.programme import Exit, Item, Pause, Programme, Segment, SetFacts
from broadcaster.units import frames_from_seconds

_ALWAYS = YesNoLiteral(value=True)
_SENT = Pause.model_construct(pause=1.0)


@dataclass(frozen=True, slots=True)
class Ground:
    """A segment as the proof sees it."""

    borders: Borders
    asks_first: tuple[str, ...]
    """Facts for which its items and the milestones ask."""
    ways: tuple[Exit, ...]
    """Its exits."""
    sends: bool
    """Whether something goes out in each round."""
    sets: bool
    """Whether it changes facts."""
    period: int
    """After so many rounds `every` begins again."""


@dataclass(frozen=True, slots=True)
class Bare:
    """All that the proof needs to know of a programme."""

    programme: Programme
    """To be run by the machine."""
    grounds: dict[str, Ground]
    values: dict[str, tuple[FactState, ...]]
    """What each fact is looked at with; first what it holds at first."""
    scripts: frozenset[str]
    """Facts that only the script changes."""
    latched: frozenset[str]
    """Facts that the room changes, and that do not go back."""
    session: tuple[int, ...]
    """Borders of the session's time."""
    hints: int
    """Given hints count up to here."""
    at_any_time: tuple[tuple[str, bool], ...]
    """Segments to which the timetable may move at any time; whether it surely will."""

    @property
    def kept(self) -> frozenset[str]:
        """Facts that a state remembers; the others may hold anything at any time."""
        return self.scripts | self.latched


def way_number(why: str) -> int | None:
    """Which exit the machine says that it took."""
    number = why.removeprefix("exit: ")
    return int(number) if number != why else None


def bare(programme: Programme) -> Bare:
    """Strip a programme."""
    segments = {name: _bare_segment(segment) for name, segment in programme.segments.items()}
    conditions = [when for segment in segments.values() for when in _conditions(segment)]
    asked = _asked_milestones(programme, conditions)
    milestones = {name: programme.milestones[name] for name in asked}
    conditions += [milestone.when for milestone in milestones.values()]
    timed = tuple(entry for entry in programme.timetable if entry.segment and entry.at is not None)
    given = _given(segments.values())
    values = fact_values(programme.facts, conditions, given)
    scripts = frozenset(name for name, told in given.items() if _is_the_scripts(values[name], told))
    everywhere = borders(conditions, frames_from_seconds(programme.session))
    session = set(everywhere.session)
    session |= {frames_from_seconds(entry.at) for entry in timed if entry.at is not None}
    for milestone in milestones.values():
        session.add(frames_from_seconds(milestone.stalled_after))
    first = tuple({name for each in milestones.values() for name in facts_in(each.when.root)})
    return Bare(
        programme=programme.model_copy(
            update={"segments": segments, "milestones": milestones, "timetable": timed}
        ),
        grounds={
            name: _ground(segment, first, frames_from_seconds(programme.session))
            for name, segment in segments.items()
        },
        values=values,
        scripts=scripts,
        latched=frozenset(
            name
            for name, fact in programme.facts.items()
            if fact.stays and name not in scripts and len(values[name]) > 1
        ),
        session=tuple(sorted(session)),
        hints=everywhere.hints,
        at_any_time=tuple(
            (entry.segment, entry.every is not None)
            for entry in programme.timetable
            if entry.segment and entry.at is None
        ),
    )


def _ground(segment: Segment, first: tuple[str, ...], session_frames: int) -> Ground:
    items = [item.when for item in segment.play if item.when]
    asks = {name for when in items for name in facts_in(when.root)}
    period = 1
    for item in segment.play:
        period *= item.every or 1
    return Ground(
        borders=borders(_conditions(segment), session_frames),
        asks_first=tuple(sorted(asks | set(first))),
        ways=segment.exits,
        sends=any(item == _SENT for item in segment.play),
        sets=any(isinstance(item, SetFacts) for item in segment.play),
        period=period,
    )


def _bare_segment(segment: Segment) -> Segment:
    exits = tuple(
        way.model_copy(
            update={"when": Expression(str(number), way.when.root if way.when else _ALWAYS)}
        )
        for number, way in enumerate(segment.exits)
    )
    play = tuple(_bare_play(segment.play))
    return Segment.model_construct(
        play=play, repeat=segment.repeat, exits=exits, hints=(), automatic_hints=False
    )


def _bare_play(play: tuple[Item, ...]) -> Iterator[Item]:
    """Every change of facts, and something sent where something is.

    Where nothing is sent for sure in a round, what may be sent keeps its conditions.
    """
    sends = any(not isinstance(item, SetFacts) and _is_sure(item) for item in play)
    before: object = None
    for item in play:
        if isinstance(item, SetFacts):
            bare_item: Item = item
        elif sends:
            bare_item = _SENT
        else:
            options = {"when": item.when, "once": item.once, "every": item.every}
            bare_item = _SENT.model_copy(update=options)
        if bare_item != before or isinstance(item, SetFacts):
            yield bare_item
        before = bare_item


def _is_sure(item: Item) -> bool:
    return not (item.when or item.once or item.every)


def _conditions(segment: Segment) -> list[Expression]:
    parts = (*segment.play, *segment.exits)
    return [part.when for part in parts if part.when]


def _asked_milestones(programme: Programme, conditions: Iterable[Expression]) -> list[str]:
    asked: set[str | None] = set()
    for condition in conditions:
        asked |= {
            part.milestone for part in nodes_of(condition.root) if isinstance(part, Met | Stalled)
        }
    return [name for name in programme.milestones if None in asked or name in asked]


def _given(segments: Iterable[Segment]) -> dict[str, set[FactState]]:
    """The values that the script itself gives to facts."""
    given: dict[str, set[FactState]] = {}
    for segment in segments:
        for item in segment.play:
            if isinstance(item, SetFacts):
                for name, value in item.set.items():
                    given.setdefault(name, set()).add(value)
    return given


def _is_the_scripts(values: tuple[FactState, ...], given: set[FactState]) -> bool:
    """Whether the script gives a fact all that it is looked at with, and not only its first."""
    return set(values) <= given | {values[0]} and bool(given - {values[0]})
