"""The line protocol of a serial line: one line of text for each message, in plain words.

From the device: `lamp_lit 1` is what a sensor reports of a fact, `!give hint` or `!jump the gate
now` a command; a line that begins with `#` is the device's own talk. To the device, by its first
word: `hello`, `ok`, `no`, `key` and `event`.
"""

from collections.abc import Collection, Iterable

from broadcaster.room.commands import COMMANDS, Message, Report
from broadcaster.room.positional import in_order
from broadcaster.room.tidings import Tiding
from broadcaster.script.facts import plain
from broadcaster.story.events import Jump, JumpTiming, SetFact, name_of

COMMAND, TALK = "!", "#"
LONGEST_LINE = 4096
"""Bytes, of what comes in."""


def read_line(
    line: str, facts: Collection[str], segments: Collection[str]
) -> Report | Message | None:
    """What a line reports or commands; None: it does neither, and wants no answer.

    `facts`: all their names, which may have spaces: the longest that fits is meant. Raises
    RefusedError.
    """
    words = " ".join(line.split())
    if not words or words.startswith(TALK):
        return None
    if not words.startswith(COMMAND):
        return Report(*_begin(words, facts))
    command, rest = _begin(words.removeprefix(COMMAND).strip(), COMMANDS)
    if not rest:
        return in_order(command, [])
    if command == name_of(SetFact):
        return in_order(command, _begin(rest, facts))
    if command == name_of(Jump):
        return in_order(command, _segment_and_timing(rest, segments))
    return in_order(command, [rest])


def _segment_and_timing(words: str, segments: Collection[str]) -> list[str]:
    """`the gate`, or `the gate now`; a segment whose own name ends so is meant first."""
    for timing in JumpTiming:
        if words.endswith(f" {timing}") and words not in segments:
            return [words.removesuffix(f" {timing}"), timing]
    return [words]


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
