"""Whether a condition holds, and when it first will if only time passes.

Every named time moves by one frame a frame, so a comparison is one of two straight lines. Between
the frames where such lines cross nothing can change: looking at those frames is exact. (Milestones
stall by time too, but that is a change of its own: see pacing.py.)
"""

from collections.abc import Iterator, Mapping, Set
from dataclasses import dataclass, replace

from broadcaster.script.conditions import (
    Both,
    Comparison,
    DurationLiteral,
    Either,
    Expression,
    FactName,
    Met,
    NamedCount,
    NamedTime,
    NameLiteral,
    Node,
    Not,
    NumberLiteral,
    Stalled,
    Sum,
    YesNoLiteral,
)
from broadcaster.script.reception import FULL_SIGNAL, NO_SIGNAL
from broadcaster.story.events import FactState


@dataclass(frozen=True, slots=True)
class Line:
    """A value that changes evenly: `value` at one frame, `slope` more with each frame after."""

    value: int
    slope: int = 0


@dataclass(frozen=True, slots=True)
class View:
    """All that a condition may ask about, at one frame."""

    facts: Mapping[str, FactState]
    times: Mapping[str, Line]
    counts: Mapping[str, int]
    stalled: Set[str] = frozenset()
    """Milestones at which the team has stalled."""
    met: Set[str] = frozenset()
    """Milestones that are met."""

    def later(self, frames: int) -> "View":
        """The same, after so many frames in which nothing but time passed."""
        times = {
            name: Line(line.value + line.slope * frames, line.slope)
            for name, line in self.times.items()
        }
        return replace(self, times=times)


def holds(condition: Expression, view: View) -> bool:
    """Whether the condition is true now."""
    return _truth(condition.root, view)


def frames_until_true(condition: Expression, view: View) -> int | None:
    """How many frames pass until the condition first holds; None if time alone never brings it."""
    crossings = sorted(set(_crossings(condition.root, view)))
    return next(
        (frames for frames in (0, *crossings) if _truth(condition.root, view.later(frames))), None
    )


def strength_of(signal: Expression, view: View) -> float:
    """The strength that a signal's sum comes to now, held within the scale."""
    return min(max(float(_amount(signal.root, view).value), NO_SIGNAL), FULL_SIGNAL)


def frames_until_strength_changes(signal: Expression, view: View) -> int | None:
    """How many frames pass until the strength is another; None if time alone never changes it."""
    now = strength_of(signal, view)
    crossings = sorted(set(_crossings(signal.root, view)))
    return next(
        (frames for frames in crossings if strength_of(signal, view.later(frames)) != now), None
    )


def asks_for_time(node: Node) -> bool:
    """Whether a named time is in it, so that time alone may make it true or false."""
    match node:
        case NamedTime():
            return True
        case Not(operand):
            return asks_for_time(operand)
        case Both(left, right) | Either(left, right) | Sum(_, left, right):
            return asks_for_time(left) or asks_for_time(right)
        case Comparison(_, left, right):
            return asks_for_time(left) or asks_for_time(right)
        case _:
            return False


def _truth(node: Node, view: View) -> bool:
    match node:
        case YesNoLiteral(value):
            return value
        case FactName(name):
            return bool(view.facts[name])
        case Not(operand):
            return not _truth(operand, view)
        case Both(left, right):
            return _truth(left, view) and _truth(right, view)
        case Either(left, right):
            return _truth(left, view) or _truth(right, view)
        case Stalled(milestone):
            return milestone in view.stalled if milestone else bool(view.stalled)
        case Met(milestone):
            return milestone in view.met
        case Comparison(operator):
            names = _names(node, view)
            if names:
                return (names[0] == names[1]) is (operator == "=")
            return _compare(operator, _difference(node, view).value)
    raise TypeError(f"{type(node).__name__} is not a yes/no")


def _names(node: Comparison, view: View) -> tuple[str, str] | None:
    """The two names that are compared; None where numbers or times are."""
    left, right = _name(node.left, view), _name(node.right, view)
    return None if left is None or right is None else (left, right)


def _name(node: Node, view: View) -> str | None:
    """The name that a node stands for; None where it stands for something else."""
    value = view.facts[node.name] if isinstance(node, FactName) else None
    if isinstance(node, NameLiteral):
        value = node.value
    return value if isinstance(value, str) else None


def _amount(node: Node, view: View) -> Line:
    match node:
        case YesNoLiteral(value) | NumberLiteral(value) | DurationLiteral(value):
            return Line(int(value))
        case FactName(name):
            return Line(int(view.facts[name]))
        case NamedTime(name):
            return view.times[name]
        case NamedCount(name):
            return Line(view.counts[name])
        case Sum(sign, left, right):
            one, other = _amount(left, view), _amount(right, view)
            return Line(one.value + sign * other.value, one.slope + sign * other.slope)
    return Line(int(_truth(node, view)))


def _difference(node: Comparison, view: View) -> Line:
    left, right = _amount(node.left, view), _amount(node.right, view)
    return Line(left.value - right.value, left.slope - right.slope)


def _compare(operator: str, difference: int) -> bool:
    """Whether `left operator right` holds, from left minus right."""
    match operator:
        case "=":
            return difference == 0
        case "!=":
            return difference != 0
        case "<":
            return difference < 0
        case "<=":
            return difference <= 0
        case ">":
            return difference > 0
        case _:
            return difference >= 0


def _crossings(node: Node, view: View) -> Iterator[int]:
    """Frames from now at which some comparison may begin or cease to hold."""
    match node:
        case Not(operand):
            yield from _crossings(operand, view)
        case Both(left, right) | Either(left, right) | Sum(_, left, right):
            yield from _crossings(left, view)
            yield from _crossings(right, view)
        case Comparison(_, left, right) if not _names(node, view):
            yield from _crossings(left, view)
            yield from _crossings(right, view)
            difference = _difference(node, view)
            if difference.slope:
                meets = -difference.value // difference.slope
                yield from (frames for frames in (meets, meets + 1) if frames > 0)
        case _:
            return
