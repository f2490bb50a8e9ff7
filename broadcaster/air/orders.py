"""What the desk tells a new station, and where the two meet."""

import os
import re
import sys
import tempfile
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from broadcaster.story.events import CloseStation, InEvent, OutEvent, Placed

if TYPE_CHECKING:  # the script room takes a while to load; a desk starts its station before that
    from broadcaster.script.programme import Programme
    from broadcaster.story.state import State


@dataclass(frozen=True, slots=True)
class Orders:
    """All that a station needs to know; it asks nobody else."""

    programme: "Programme"
    output: str
    """`auto`, `silent`, `file:PATH` or a device's name; `, left` or `, right` behind it."""
    seed: int = 0
    length: int | None = None
    """Frames after which the station closes; None: when it is told to."""
    cache_folder: Path | None = None
    agenda: tuple[tuple[int, InEvent], ...] = ()
    """Events that are known beforehand, each with its frame."""
    state: "State | None" = None
    """Where the story stands at first, if it goes on from another station's checkpoint."""
    state_frame: int = 0
    """Which of that station's frames is frame 0 of this one."""


@dataclass(frozen=True, slots=True)
class Refusal:
    """The station cannot open: the sentence for the person, and the exit code."""

    sentence: str
    exit_code: int


ToStation: TypeAlias = InEvent | Placed | CloseStation
"""What a station is told once it has its orders."""


@dataclass(frozen=True, slots=True)
class Greeting:
    """How things stand, for a desk that meets a station which is on air: no news."""

    standing: list[OutEvent]
    process: int
    """The number of the station's process."""


@dataclass(frozen=True, slots=True)
class Checkpoint:
    """Where the story stands, for a station that has to take this one's place."""

    state: "State"


Message: TypeAlias = Refusal | Greeting | Checkpoint | list[OutEvent]
"""What a station sends."""


def runtime_folder() -> Path:
    """Where stations and desks of one user meet; made with access for that user alone."""
    base = os.environ.get("XDG_RUNTIME_DIR")
    user = str(os.getuid()) if hasattr(os, "getuid") else os.environ.get("USERNAME", "user")
    folder = (
        Path(base) / "broadcaster" if base else Path(tempfile.gettempdir()) / f"broadcaster-{user}"
    )
    folder.mkdir(mode=0o700, parents=True, exist_ok=True)
    return folder


def meeting_point(name: str) -> str:
    """The address at which the station of that name listens: a socket, or a pipe on Windows."""
    if sys.platform == "win32":
        return rf"\\.\pipe\broadcaster-{name}"
    return str(runtime_folder() / f"{name}.socket")


def key_file(name: str) -> Path:
    """The file, readable by the user alone, that holds the secret of the meeting point."""
    return runtime_folder() / f"{name}.key"


def safe_name(text: str) -> str:
    """A text as part of a file's name."""
    return re.sub(r"[^a-z0-9]+", "-", text.lower()).strip("-")[:32] or "station"
