"""Where things are kept on this machine: spoken words and logs."""

import os
import sys
from datetime import datetime
from pathlib import Path

from broadcaster.air.orders import runtime_folder
from broadcaster.record.asrun import log_folder


def cache_folder(wish: str | None) -> Path:
    """The folder of the speech cache: as wished, or the user's own cache folder."""
    if wish:
        return Path(wish)
    if sys.platform == "win32":
        base = Path(os.environ.get("LOCALAPPDATA", Path.home()))
    else:
        base = Path(os.environ.get("XDG_CACHE_HOME", Path.home() / ".cache"))
    return base / "broadcaster" / "speech"


def remember_log(meeting_name: str, log: Path) -> None:
    """Write down which log a broadcast has, for the desk that meets its station later."""
    (runtime_folder() / f"{meeting_name}.log").write_text(str(log.absolute()))


def remembered_log(meeting_name: str) -> Path | None:
    """The log of the broadcast that was met again; None if nothing was written down."""
    try:
        return Path((runtime_folder() / f"{meeting_name}.log").read_text())
    except OSError:
        return None


def log_file(wish: str | None, station: str, now: datetime) -> Path:
    """The as-run log of a broadcast: as wished, or named by station and time."""
    if wish:
        return Path(wish)
    return log_folder() / f"{station}-{now:%Y-%m-%d-%H%M%S}.jsonl"
