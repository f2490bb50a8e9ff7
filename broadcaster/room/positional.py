"""Messages from ways in that know no keys: a command's name, and its values in their order."""

from collections.abc import Mapping, Sequence
from dataclasses import fields
from typing import Any

from broadcaster.room.commands import COMMANDS, NOT_TOLD, RANGES, Message, RefusedError, Why
from broadcaster.script.names import clipped

FIELDS: Mapping[str, tuple[str, ...]] = {
    name: tuple(field.name for field in fields(kind) if field.name not in NOT_TOLD)
    for name, kind in COMMANDS.items()
}
"""The keys of each command's message, in the order in which their values stand."""
AS_THE_SCRIPT_SAYS = "as the script says"
"""What takes back a number that was set: there is no `null` in a line of text."""


def wants_number(command: str) -> bool:
    """Whether a command's first value is a number."""
    return any(key in RANGES for key in FIELDS.get(command, ())[:1])


def in_order(command: str, values: Sequence[Any]) -> Message:
    """The message of a command and its first values. Raises RefusedError if there are too many."""
    keys = FIELDS.get(command, ())
    if len(values) > len(keys):
        surplus = clipped(str(values[len(keys)]))
        raise RefusedError(Why.MALFORMED, f"{surplus} does not belong to `{command}`.")
    told = zip(keys, values, strict=False)
    return {
        "event": command,
        **{key: _number(value) if key in RANGES else value for key, value in told},
    }


def _number(value: object) -> object:
    """The number that a text is; else the value as it is."""
    if value == AS_THE_SCRIPT_SAYS:
        return None
    try:
        return float(value) if isinstance(value, str) else value
    except ValueError:
        return value
