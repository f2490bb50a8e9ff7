"""Where things are kept on this machine: spoken words and logs."""

import os
import sys
from datetime import datetime
from pathlib import Path

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


def log_file(wish: str | None, station: str, now: datetime) -> Path:
    """The as-run log of a broadcast: as wished, or named by station and time."""
    if wish:
        return Path(wish)
    return log_folder() / f"{station}-{now:%Y-%m-%d-%H%M%S}.jsonl"
