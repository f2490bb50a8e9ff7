"""What can be known beforehand of a jump: a segment that the story would leave at once."""

from collections.abc import Mapping

from broadcaster.script.condition_tree import (
    Expression,
    Met,
    NamedCount,
    NamedTime,
    Stalled,
    nodes_of,
)
from broadcaster.script.programme import Programme, Segment
from broadcaster.story.events import FactState
from broadcaster.story.judging import View, holds


class Foresight:
    """Looks at the `at once` exits that ask for facts alone; of others nothing is foretold."""

    def __init__(self, programme: Programme) -> None:
        self._exits = {name: _foreseeable(one) for name, one in programme.segments.items()}

    def warning(self, segment: str, facts: Mapping[str, FactState]) -> str:
        """In a clause, that a jump to the segment would lead on at once; empty: it would not."""
        seen = View(facts, {}, {})
        for condition in self._exits[segment]:
            if condition is None:
                return "it has an exit that always holds: the story will move on at once"
            if holds(condition, seen):
                return f"its exit `{condition.source}` holds: the story will move on at once"
        return ""


def _foreseeable(segment: Segment) -> tuple[Expression | None, ...]:
    at_once = (way.when for way in segment.exits if way.at_once)
    return tuple(when for when in at_once if when is None or _asks_for_facts_alone(when))


def _asks_for_facts_alone(condition: Expression) -> bool:
    beyond = (NamedTime, NamedCount, Stalled, Met)
    return not any(isinstance(node, beyond) for node in nodes_of(condition.root))
