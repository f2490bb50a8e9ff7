"""The names of what may lie between two segments; apart, as events need them and load nothing."""

from typing import Literal, TypeAlias, get_args

Transition: TypeAlias = Literal["cut", "static burst", "fade", "retune sweep", "carrier drop"]
"""What lies between a segment and the next; a cut is nothing at all."""
TRANSITIONS: tuple[Transition, ...] = get_args(Transition)
