"""Where things are kept on this machine: spoken words, logs and the venue's settings."""

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


SETTINGS = "station.yaml"
"""The name of the venue's settings."""


def settings_file(wish: str | None, script: str) -> Path | None:
    """The venue's settings: as wished, beside the script, or the user's own; None: there are none.

    A file that was wished for is taken for there. Of a script that is given by its name alone, the
    current folder counts: nobody has settings where it is installed.
    """
    if wish:
        return Path(wish)
    places = (Path(script).parent / SETTINGS, config_folder() / SETTINGS)
    return next((path for path in places if path.exists()), None)


def config_folder() -> Path:
    """Where this user's settings are kept."""
    if sys.platform == "win32":
        base = Path(os.environ.get("APPDATA", Path.home()))
    else:
        base = Path(os.environ.get("XDG_CONFIG_HOME", Path.home() / ".config"))
    return base / "broadcaster"


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
    return log_folder() / log_name(station, now)


def log_name(station: str, now: datetime) -> str:
    """The name of a log of which only the folder is given."""
    return f"{station}-{now:%Y-%m-%d-%H%M%S}.jsonl"
