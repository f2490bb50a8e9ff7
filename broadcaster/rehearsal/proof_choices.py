"""The ways in which a proof holds facts that it does not remember, as far as the machine looks."""

from collections.abc import Iterable, Iterator, Mapping
from itertools import product

from broadcaster.rehearsal.proof_bare import Bare, Ground
from broadcaster.rehearsal.proof_plain import NOW
from broadcaster.rehearsal.proof_values import HINTS, ROUNDS
from broadcaster.script.condition_tree import Expression, Met, Stalled, facts_in, nodes_of
from broadcaster.script.facts import FactState
from broadcaster.story.judging import Line, View, holds
from broadcaster.story.state import State
from broadcaster.units import frames_from_seconds

MOST_CHOICES = 4_096
"""In how many ways the facts for which one segment asks may be held."""


class TooWideError(Exception):
    """A segment asks for too many facts at once; its name."""


class Choices:
    """What facts may hold, in one programme."""

    def __init__(self, bare: Bare) -> None:
        self._values, self._kept = bare.values, bare.kept
        self._names = tuple(bare.programme.facts)
        self._first = {name: values[0] for name, values in bare.values.items()}
        self._session_frames = frames_from_seconds(bare.programme.session)

    def over_border(self, state: State, ground: Ground) -> Iterator[dict[str, FactState]]:
        """The ways of holding the facts that the machine may look at, as far as it looks.

        It tries exits in their order, so those after one that holds are not looked at.
        """
        held = dict(zip(self._names, state.facts, strict=True))
        at_first = [*ground.asks_first]
        order = [(way.when, 0) for way in ground.ways if way.at_once]
        order += [(way.when, 1) for way in ground.ways]
        conditions = [(when, rounds) for when, rounds in order if when]
        if ground.sets or any(not _is_plain(when) for when, _ in conditions):
            at_first += sorted({name for when, _ in conditions for name in facts_in(when.root)})
            conditions = []
        chosen = {name: held[name] for name in self._kept}
        count = 0
        for facts in self._ways(at_first, chosen):
            for found in self._decide(state, facts, conditions):
                count += 1
                if count > MOST_CHOICES:
                    raise TooWideError(state.segment)
                yield {name: value for name, value in found.items() if name not in self._kept}

    def _decide(
        self, state: State, facts: dict[str, FactState], conditions: list[tuple[Expression, int]]
    ) -> Iterator[dict[str, FactState]]:
        if not conditions:
            yield facts
            return
        (when, rounds), *others = conditions
        for found in self._ways(sorted(facts_in(when.root)), facts):
            if holds(when, self.view(state, found, rounds)):
                yield found
            else:
                yield from self._decide(state, found, others)

    def _ways(
        self, names: Iterable[str], chosen: dict[str, FactState]
    ) -> Iterator[dict[str, FactState]]:
        """Every way of holding these facts beside those that are chosen already."""
        free = [name for name in dict.fromkeys(names) if name not in chosen]
        size = 1
        for name in free:
            size *= len(self._values[name])
        if size > MOST_CHOICES:
            raise TooWideError
        for values in product(*(self._values[name] for name in free)):
            yield {**chosen, **dict(zip(free, values, strict=True))}

    def view(self, state: State, facts: Mapping[str, FactState], more_rounds: int) -> View:
        """What a condition may ask about in a state."""
        session = NOW - state.session_frame
        return View(
            facts={**self._first, **facts},
            times={
                "session time": Line(session, 1),
                "segment time": Line(NOW - state.segment_frame, 1),
                "quiet time": Line(NOW - state.quiet_frame, 1),
                "time left": Line(self._session_frames - session, -1),
            },
            counts={ROUNDS: state.rounds + more_rounds, HINTS: state.hints},
            stalled=state.stalled,
            met=state.met,
        )

    def at_entry(
        self, state: State, ground: Ground, facts: dict[str, FactState]
    ) -> Iterator[dict[str, FactState]]:
        """The ways of holding what is looked at before a segment's first item goes out."""
        conditions = [(way.when, 0) for way in ground.ways if way.at_once and way.when]
        if not ground.sends:
            conditions += [(way.when, 1) for way in ground.ways if way.when]
        held = dict(zip(self._names, state.facts, strict=True))
        chosen = {**{name: held[name] for name in self._kept}, **facts}
        for first in self._ways(ground.asks_first, chosen):
            for found in self._decide(state, first, conditions):
                yield {name: found[name] for name in found if name not in self._kept}


def _is_plain(when: Expression) -> bool:
    """Whether a condition asks for nothing that the machine may change before it looks."""
    return not any(isinstance(node, Met | Stalled) for node in nodes_of(when.root))
