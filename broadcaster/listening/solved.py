"""Solutions that were found before, kept as small files.

A solution is a function of what it was found for and of the code that found it, so losing the
cache, or any file of it, costs time and changes nothing.
"""

import hashlib
import json
from contextlib import suppress
from dataclasses import asdict
from functools import cache
from importlib.metadata import version
from pathlib import Path

import numpy as np

import broadcaster
from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Way
from broadcaster.listening.solver import Solution, roughness_for
from broadcaster.units import Samples
from broadcaster.voice.cache import write_at_once

_ROOMS = ("period", "transmitter", "listening")
"""The code, and the data beside it, that a solution depends on, but for units.py."""
_LIBRARIES = ("numpy", "scipy")


class SolvedCache:
    """A folder of JSON files, one a solution.

    Never raises for a file that cannot be read or written: an unreadable or damaged file counts
    as absent, and is written anew. The first time that writing fails, `trouble` says so in a
    sentence, for whoever tells the operator; nothing is written from then on.
    """

    def __init__(self, folder: Path | None) -> None:
        """`folder`: may be that of the spoken words; None keeps nothing."""
        self._folder = folder
        self.trouble: str | None = None

    def roughness_for(self, wanted: float, item: Samples, way: Way, copied: Copied) -> Solution:
        """As solver.roughness_for(), at once if it was found before."""
        if self._folder is None:
            return roughness_for(wanted, item, way, copied)
        path = self._folder / f"roughness-{key_of(wanted, item, way, copied)}.json"
        solution = _read(path)
        if solution is None:
            solution = roughness_for(wanted, item, way, copied)
            self._keep(path, solution)
        return solution

    def _keep(self, path: Path, solution: Solution) -> None:
        """Keep it. The file appears whole or not at all."""
        if self.trouble:
            return
        try:
            path.parent.mkdir(parents=True, exist_ok=True)
            write_at_once(path, json.dumps(asdict(solution)).encode())
        except OSError as error:
            self.trouble = (
                f"What was worked out cannot be kept in {self._folder} ({error.strerror}); "
                "the roughness of every item is worked out anew."
            )


def key_of(wanted: float, item: Samples, way: Way, copied: Copied) -> str:
    """What a solution depends on, as 32 hexadecimal digits."""
    samples = hashlib.sha256(np.ascontiguousarray(item).data).hexdigest()
    told = [_made_by(), wanted, repr(way), copied.value, samples]
    return hashlib.sha256(json.dumps(told).encode()).hexdigest()[:32]


@cache
def _made_by() -> str:
    """What finds solutions, by its content."""
    package = Path(broadcaster.__file__).parent
    files = [package / "units.py"]
    for room in _ROOMS:
        files += sorted(path for path in (package / room).iterdir() if path.is_file())
    told = hashlib.sha256()
    for path in files:
        told.update(path.read_bytes())
    told.update(" ".join(version(library) for library in _LIBRARIES).encode())
    return told.hexdigest()


def _read(path: Path) -> Solution | None:
    """What the file tells, if it is whole."""
    with suppress(OSError, ValueError, TypeError):
        told = Solution(**json.loads(path.read_bytes()))
        if isinstance(told.roughness, float) and isinstance(told.readability, float):
            return told
    return None
