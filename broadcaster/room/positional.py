"""Messages from ways in that know no keys: a command's name, and its values in their order."""

from collections.abc import Mapping, Sequence
from dataclasses import fields
from typing import Any

from broadcaster.room.commands import COMMANDS, NOT_TOLD, Message, RefusedError, Why
from broadcaster.script.names import clipped

FIELDS: Mapping[str, tuple[str, ...]] = {
    name: tuple(field.name for field in fields(kind) if field.name not in NOT_TOLD)
    for name, kind in COMMANDS.items()
}
"""The keys of each command's message, in the order in which their values stand."""


def in_order(command: str, values: Sequence[Any]) -> Message:
    """The message of a command and its first values. Raises RefusedError if there are too many."""
    keys = FIELDS.get(command, ())
    if len(values) > len(keys):
        surplus = clipped(str(values[len(keys)]))
        raise RefusedError(Why.MALFORMED, f"{surplus} does not belong to `{command}`.")
    return {"event": command, **dict(zip(keys, values, strict=False))}
