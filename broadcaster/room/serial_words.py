"""The line protocol of a serial line: one line of text for each message, in plain words.

From the device: `lamp_lit 1` is a fact, `!give hint` or `!jump the gate` a command; a line that
begins with `#` is the device's own talk. To the device, by its first word: `hello`, `ok`, `no`,
`key` and `event`.
"""

from collections.abc import Iterable

from broadcaster.room.commands import COMMANDS, Message
from broadcaster.room.positional import FIELDS, in_order
from broadcaster.room.tidings import Tiding
from broadcaster.script.facts import plain

COMMAND, TALK = "!", "#"
LONGEST_LINE = 4096
"""Bytes, of what comes in."""


def read_line(line: str, facts: Iterable[str]) -> Message | None:
    """The message of a line; None: it is none, and wants no answer. Raises RefusedError.

    `facts`: their names outside, which may have spaces: the longest that fits is meant.
    """
    words = " ".join(line.split())
    if not words or words.startswith(TALK):
        return None
    if words.startswith(COMMAND):
        command, rest = _begin(words.removeprefix(COMMAND).strip(), COMMANDS)
        return in_order(command, [rest] if rest or FIELDS.get(command) else [])
    fact, value = _begin(words, facts)
    return in_order("set fact", (fact, value))


def hello(callsign: str) -> str:
    """What a device is told when its line opens: it should report every fact it has."""
    return f"hello {callsign}"


def key(*, down: bool) -> str:
    """The lamp is to be lit, or dark, now."""
    return f"key {down:d}"


def event(tiding: Tiding) -> str:
    """Something happened: `event segment_entered watch`."""
    values = (f"{value:d}" if isinstance(value, bool) else plain(value) for value in tiding.values)
    return " ".join(("event", tiding.name, *values))


def answer(refusal: str | None) -> str:
    """What a line was good for: `ok`, or `no` and a sentence."""
    return "ok" if refusal is None else f"no {refusal}"


def as_bytes(line: str) -> bytes:
    """A line as it goes out: whatever it tells, it stays one line."""
    return " ".join(line.split()).encode() + b"\n"


def _begin(words: str, names: Iterable[str]) -> tuple[str, str]:
    """The name with which words begin, and the rest; unknown names end at the first space."""
    fitting = [name for name in names if words == name or words.startswith(f"{name} ")]
    name = max(fitting, key=len) if fitting else words.partition(" ")[0]
    return name, words[len(name) :].strip()
