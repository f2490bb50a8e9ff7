"""Wires beside a column of boxes: which lane each runs in, as on the wiring diagram of a set.

All wires to the same place are one: it runs in one lane, from the outermost of its joints to the
place itself.
"""

from collections.abc import Mapping
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Wire:
    """What leads to one place, on one side of the column."""

    to: str
    entry: float
    """The height at which it comes to its place."""
    joints: tuple[float, ...]
    """The heights at which ways join it."""
    lane: int = 0
    """Counted from the column outwards."""

    @property
    def top(self) -> float:
        """Its upper end."""
        return min(self.entry, *self.joints)

    @property
    def bottom(self) -> float:
        """Its lower end."""
        return max(self.entry, *self.joints)


CLEAR = 10.0
"""How much must lie between two wires that share a lane."""


def in_lanes(joints: Mapping[str, list[float]], entries: Mapping[str, float]) -> tuple[Wire, ...]:
    """Wires in as few lanes as the shortest-first rule finds: short ones lie close to the column,
    so that they cross the fewest others.
    """
    wires = [Wire(to, entries[to], tuple(heights)) for to, heights in joints.items() if heights]
    wires.sort(key=lambda wire: (wire.bottom - wire.top, wire.top))
    lanes: list[list[Wire]] = []
    placed = []
    for wire in wires:
        free = (number for number, lane in enumerate(lanes) if not _meets(wire, lane))
        lane = next(free, len(lanes))
        if lane == len(lanes):
            lanes.append([])
        lanes[lane].append(wire)
        placed.append(Wire(wire.to, wire.entry, wire.joints, lane))
    return tuple(placed)


def _meets(wire: Wire, lane: list[Wire]) -> bool:
    return any(
        wire.top < other.bottom + CLEAR and other.top < wire.bottom + CLEAR for other in lane
    )
