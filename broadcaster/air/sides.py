"""The two channels of an output: two stations share a stereo device, each on its own side."""

from typing import Literal, TypeAlias

Side: TypeAlias = Literal["left", "right"]
SIDES: tuple[Side, ...] = ("left", "right")
"""In the order of the channels."""


def with_side(name: str, side: Side | None) -> str:
    """The name of an output, of which perhaps one channel is asked for: `Desk speakers, left`."""
    return f"{name}, {side}" if side else name


def without_side(wish: str) -> tuple[str, Side | None]:
    """An output that was asked for, and which of its channels; None: both."""
    for side in SIDES:
        name, comma, told = wish.rpartition(",")
        if comma and told.strip() == side:
            return name.strip(), side
    return wish, None
