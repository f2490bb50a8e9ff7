"""Every error that a person may see. Each takes facts and words its own sentence.

The exit code is part of the error: 1 the script has faults, 2 wrong usage, 3 the station could
not run.
"""

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path


@dataclass(frozen=True, slots=True, order=True)
class Place:
    """Where something was written; line and column count from 1."""

    file: str
    line: int
    column: int

    def __str__(self) -> str:
        return f"{self.file}:{self.line}:{self.column}"


@dataclass(frozen=True, slots=True, order=True)
class Fault:
    """One thing wrong in a script: where, what was found, and how to mend it."""

    place: Place
    message: str
    mend: str = ""

    def __str__(self) -> str:
        return f"{self.place}: {self.message}" + (f" {self.mend}" if self.mend else "")


class UnreadableError(ValueError):
    """A written value that cannot be read: what was found, how to mend it, and where in it.

    `offset` counts characters from the start of the value. `ways`: what may be meant, as it would
    be written, the likeliest first. The reader turns it into a Fault.
    """

    def __init__(
        self, message: str, mend: str = "", offset: int = 0, ways: Sequence[str] = ()
    ) -> None:
        self.message = message
        self.mend = mend
        self.offset = offset
        self.ways = tuple(ways)
        super().__init__(f"{message} {mend}".strip())

    def moved(self, characters: int) -> "UnreadableError":
        """The same error, in a longer text that begins so many characters earlier."""
        return UnreadableError(self.message, self.mend, self.offset + characters, self.ways)


class BroadcasterError(Exception):
    """The base of all that is raised on purpose."""

    exit_code = 3


class ScriptError(BroadcasterError):
    """A script with faults: all of them, in the order of their places."""

    exit_code = 1

    def __init__(self, faults: Sequence[Fault]) -> None:
        self.faults = tuple(sorted(faults))
        super().__init__("\n".join(str(fault) for fault in self.faults))


class UsageError(BroadcasterError):
    """A command that cannot be obeyed as it was typed."""

    exit_code = 2


def path_to_write(name: str | Path, ending: str) -> Path:
    """The path of a file to be written, before any work is done for it.

    Raises UsageError for a name that promises another kind of file; one without an ending may be
    meant.
    """
    path = Path(name)
    if path.suffix.lower() not in ("", ending):
        kind = ending.lstrip(".").upper()
        raise UsageError(f"{path} would hold {kind}: give it a name that ends in `{ending}`.")
    return path


class StationError(BroadcasterError):
    """The station cannot go on air, or cannot write what it was told to write."""


class SpeechError(BroadcasterError):
    """Words that could not be spoken; the station covers them with a stand-by item."""

    def __init__(self, text: str, reason: str) -> None:
        self.text = text
        self.reason = reason
        shown = text if len(text) <= 60 else text[:57] + "..."
        super().__init__(f"could not speak {shown!r}: {reason}")


class ClipError(BroadcasterError):
    """A sound file that could not be read."""

    def __init__(self, path: Path, reason: str) -> None:
        self.path = path
        self.reason = reason
        super().__init__(f"could not read the clip {path}: {reason}")
