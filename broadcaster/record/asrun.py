"""The as-run log: what went out, one JSON object a line, each with its frames."""

import errno
import json
import os
import sys
from pathlib import Path

from broadcaster.errors import UsageError
from broadcaster.story.events import (
    Coming,
    HintReady,
    ItemStarted,
    Keyed,
    OutEvent,
    OutputState,
    RoundEnds,
    as_record,
)

PASSING = (Coming, HintReady, ItemStarted, Keyed, OutputState, RoundEnds)
"""Events for the screen of the moment; the rest is worth keeping."""


def record_line(event: OutEvent) -> str | None:
    """The event as a line of the log, without its line end; None for what is not kept."""
    if isinstance(event, PASSING):
        return None
    return json.dumps(as_record(event), ensure_ascii=False)


def log_folder() -> Path:
    """Where logs are kept for this user, unless told otherwise."""
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", Path.home()))
    else:
        base = Path(os.environ.get("XDG_STATE_HOME", Path.home() / ".local" / "state"))
    return base / "broadcaster"


class AsRunLog:
    """A log file that grows by whole lines, each written at once."""

    def __init__(self, path: Path) -> None:
        """Raises UsageError if the file cannot be written."""
        self.path = path
        self.trouble = ""
        """Why the log stopped, in a sentence; the broadcast goes on without it."""
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            self._file = path.open("ab", buffering=0)
        except FileExistsError as error:
            raise UsageError(f"Cannot write the log {path}: {path.parent} is no folder.") from error
        except OSError as error:
            raise UsageError(f"Cannot write the log {path}: {error.strerror}.") from error

    def write(self, event: OutEvent) -> None:
        """Add an event, if it is one to be kept."""
        line = record_line(event)
        if line is None or self.trouble:
            return
        try:
            self._add(line.encode() + b"\n")
        except OSError as error:
            self.trouble = (
                f"The log {self.path} cannot be written any more ({error.strerror}); "
                "the broadcast goes on without it."
            )

    def close(self) -> None:
        """Close the file; one in which nothing stands is taken away."""
        self._file.close()
        if self.path.is_file() and not self.path.stat().st_size:
            self.path.unlink()

    def _add(self, line: bytes) -> None:
        """The whole line, or nothing of it."""
        written = self._file.write(line)
        if written < len(line):
            self._file.truncate(self._file.tell() - written)
            raise OSError(errno.ENOSPC, os.strerror(errno.ENOSPC))
