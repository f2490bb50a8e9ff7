"""What a station is told at which address of OSC.

`/fact/lamp_lit 1` is what a sensor reports; each command has its name, `/give_hint`, with its
values in order, and each segment's jump, `/jump/watch`. A pattern reaches facts alone: a command
wants its whole address, so that a stray `/*` gives no hint and ends no session.
"""

from collections.abc import Iterable, Mapping, Sequence
from typing import Any

from broadcaster.room.commands import COMMANDS, Message, RefusedError, Report, Why
from broadcaster.room.osc_packet import Received
from broadcaster.room.osc_pattern import is_pattern, matching
from broadcaster.room.positional import in_order, wants_number
from broadcaster.script.names import clipped, known_names

FACT = "/fact/"
"""Before a fact's name. One that the outside calls by an address of its own has that one."""


class Addresses:
    """All addresses at which one station can be told something."""

    def __init__(self, facts: Mapping[str, str], segments: Iterable[str]) -> None:
        """`facts`: their names in the script, by every name that is good (FactNames.all)."""
        self._facts: dict[str, str] = {}
        for called, name in facts.items():  # where two names look the same, the first is meant
            self._facts.setdefault(_fact_address(called), name)
        self._commands: dict[str, tuple[str, tuple[str, ...]]] = {
            f"/{address_of(name)}": (name, ()) for name in COMMANDS
        }
        self._commands |= {
            f"/jump/{address_of(segment)}": ("jump", (segment,)) for segment in segments
        }

    def wanted(self, received: Received) -> Sequence[Report | Message]:
        """What a message of OSC reports or commands; nothing, where a button is let go.

        Raises RefusedError.
        """
        address, values = received.address, received.values
        if address in self._commands:
            return self._command(address, values)
        facts = matching(address, self._facts) if is_pattern(address) else [address]
        unknown = [fact for fact in facts if fact not in self._facts]
        if unknown or not facts:
            known = known_names(address, (*self._facts, *self._commands))
            raise RefusedError(Why.UNKNOWN, f"There is no address {clipped(address)}. {known}")
        if len(values) != 1:
            raise RefusedError(Why.MALFORMED, f"{clipped(address)} wants one value.")
        names = dict.fromkeys(self._facts[fact] for fact in facts)  # each has several addresses
        return [Report(name, values[0]) for name in names]

    def _command(self, address: str, values: Sequence[Any]) -> list[Message]:
        name, first = self._commands[address]
        pressed = len(values) == 1 and isinstance(values[0], bool | int | float)
        if pressed and not wants_number(name):  # a button's two states
            return [in_order(name, first)] if values[0] else []
        return [in_order(name, (*first, *values))]


def address_of(name: str) -> str:
    """A name as a part of an address, which has no spaces and none of a pattern's signs."""
    return "".join("_" if sign in " #*,/?[]{}" else sign for sign in name)


def _fact_address(outside: str) -> str:
    return outside if outside.startswith("/") else FACT + address_of(outside)
