"""Where in a tree an error is, and how what is faulty is taken out of it."""

from collections.abc import Iterable
from dataclasses import dataclass, field, replace

from broadcaster.script.annotations import Wanted, inside, kinds
from broadcaster.script.tree import Mapping, Node, Sequence


@dataclass(frozen=True, slots=True)
class Spot:
    """A node, what is wanted there, and what holds it."""

    wanted: Wanted
    node: Node
    owner: "Spot | None" = None
    """The mapping or list that holds it; None for the outermost."""
    step: str | int = ""
    """The key or index under which the owner holds it."""

    @property
    def name(self) -> str:
        """The nearest key, as a sentence speaks of the spot; nothing for the outermost."""
        if self.owner is None or isinstance(self.step, str):
            return str(self.step)
        return self.owner.name


class Finder:
    """Follows pydantic's locations through a tree; a way that many share is gone once."""

    def __init__(self, root: Spot) -> None:
        self._found: dict[tuple[str | int, ...], Spot] = {(): root}

    def find(self, location: tuple[str | int, ...]) -> Spot:
        """The spot to which a location leads; for a missing key the mapping that lacks it."""
        if location not in self._found:
            self._found[location] = _step(self.find(location[:-1]), location[-1])
        return self._found[location]


def _step(spot: Spot, step: str | int) -> Spot:
    node = spot.node
    kinds_here = kinds(spot.wanted)
    if kinds_here:  # pydantic names the kind where it has looked for a key of that kind
        return replace(spot, wanted=kinds_here[str(step)])
    if isinstance(node, Mapping) and isinstance(step, str) and step in node.values:
        return Spot(inside(spot.wanted, step), node.values[step], spot, step)
    if isinstance(node, Sequence) and isinstance(step, int):
        return Spot(inside(spot.wanted, step), node.items[step], spot, step)
    return spot


@dataclass(slots=True)
class _Loss:
    """The items of one list that are to go."""

    sequence: Sequence
    items: set[int] = field(default_factory=set)


def take_out(spots: Iterable[Spot]) -> None:
    """Take spots out of the mappings and lists that hold them, which remember that they did."""
    losses: dict[int, _Loss] = {}
    for spot in spots:
        holder = spot.owner.node if spot.owner else None
        if isinstance(holder, Mapping) and isinstance(spot.step, str):
            holder.keys.pop(spot.step, None)
            holder.values.pop(spot.step, None)
            holder.left_out.add(spot.step)
        elif isinstance(holder, Sequence):
            losses.setdefault(id(holder), _Loss(holder)).items.add(id(spot.node))
    for loss in losses.values():
        loss.sequence.items = [item for item in loss.sequence.items if id(item) not in loss.items]
        loss.sequence.incomplete = True
