"""How long each item is, for rehearsals that make no sound: an item is made once, then remembered.

The lengths lie beside the spoken words. They are a function of the item, its text, its voice and
its clip, and of the code that makes sound: when that changes, all are forgotten.
"""

import hashlib
import json
import os
import tempfile
from collections.abc import Callable, Mapping, Sequence
from contextlib import suppress
from importlib.util import find_spec
from pathlib import Path

import numpy as np

import broadcaster
from broadcaster.air.items import Failure, Made, Outcome
from broadcaster.script.programme import (
    Choose,
    Clip,
    FactState,
    Item,
    Programme,
    SetFacts,
    SpokenItem,
    copy_of,
)
from broadcaster.script.template import Template
from broadcaster.story.cue import Content, Cue, text_of
from broadcaster.units import Samples

FILE = "lengths.json"
_ROOMS = ("script", "voice", "sound")
"""What decides how long an item is."""
_ENGINES = ("espeakng_loader", "pyttsx3")
_NOT_HEARD = frozenset({"when", "once", "every", "times", "clue", "within", "level", "readability"})
"""Options that change nothing in how long an item is."""
_ONE_ZERO = np.zeros(1, dtype=np.float32)


class Lengths:
    """An ItemSource whose samples are all silence, each as long as its item would be.

    They take no memory. What is not known yet is made, in this process, and measured.
    """

    def __init__(
        self,
        programme: Programme,
        folder: Path,
        known: Mapping[str, int] | None = None,
        making: Callable[[str], None] | None = None,
    ) -> None:
        """`folder`: that of the spoken words. `known`: instead of what the folder's file tells.
        `making`: told the text of each item that must be made first.
        """
        self.known = dict(_read(folder / FILE) if known is None else known)
        """The frames of each item, by its key."""
        self._programme = programme
        self.folder = folder
        """That of the spoken words."""
        self._making = making
        self._make: Callable[[Content], Outcome] | None = None
        self._made: dict[Content, Outcome] = {}
        self._new = False

    def expect(self, cues: Sequence[Cue]) -> None:
        """Nothing is made ahead."""

    def fetch(self, cue: Cue) -> Outcome:
        """Silence of the item's length, or why it cannot be made. It is as readable as it is."""
        content = cue.content._replace(readability=None)
        made = self._made.get(content)
        if made is None:
            made = self._made[content] = self._find(content)
        return made

    def measure_all(self) -> None:
        """Measure every item whose text is the same at any time."""
        facts: dict[str, FactState] = {}
        for _, item in self._programme.items():  # noqa: PERF102  not of a dict
            copy = copy_of(item)
            changes = isinstance(copy, Template) and (copy.facts or copy.times)
            if not changes and not isinstance(item, Choose | SetFacts):
                self.fetch(Cue("", item, text_of(item, facts)))

    def learn(self, known: Mapping[str, int]) -> None:
        """Take in what others have measured."""
        self._new = self._new or not known.keys() <= self.known.keys()
        self.known.update(known)

    def keep(self) -> None:
        """Write down what was new. A folder that cannot be written costs time, and no more."""
        if self._new:
            with suppress(OSError):
                _write(self.folder / FILE, self.known)

    def _find(self, content: Content) -> Outcome:
        key = _key(self._programme, content.item, content.text)
        frames = self.known.get(key)
        if frames is None:
            if self._making:
                self._making(content.text)
            made = self._maker()(content)
            if isinstance(made, Failure):
                return made
            frames = self.known[key] = len(made.samples)
            self._new = True
        return Made(_silence(frames))

    def _maker(self) -> Callable[[Content], Outcome]:
        if self._make is None:
            from broadcaster.air.preparing import maker  # only where sound is made
            from broadcaster.voice.cache import SpeechCache
            from broadcaster.voice.speaker import Speaker

            self._make = maker(self._programme, Speaker(SpeechCache(self.folder)))
        return self._make


def _silence(frames: int) -> Samples:
    """Shape (frames,), all of it one and the same zero."""
    return np.broadcast_to(_ONE_ZERO, (frames,))


def _key(programme: Programme, item: Item, text: str) -> str:
    heard = [
        (name, repr(getattr(item, name)))
        for name in type(item).model_fields
        if name not in _NOT_HEARD
    ]
    voice = _voice_key(programme, item) if isinstance(item, SpokenItem) else ""
    clip = _stamp(programme.folder / item.clip) if isinstance(item, Clip) else ""
    told = json.dumps([item.kind, text, heard, voice, clip])
    return hashlib.sha256(told.encode()).hexdigest()[:32]


def _voice_key(programme: Programme, item: SpokenItem) -> list[str]:
    """What a voice's length depends on: its profile, the phrase dictionary, and its recordings."""
    profile = programme.voice_of(item)
    drawn_on = sorted(Path(profile.bank).iterdir()) if profile.bank else []
    if profile.voice_file:
        drawn_on.append(Path(profile.voice_file))
    phrases = sorted(programme.phrases_in(profile.language).items())
    return [repr(profile), repr(phrases), *map(_stamp, drawn_on)]


def _made_by() -> str:
    """What makes sound, as far as it can be told quickly."""
    package = Path(broadcaster.__file__).parent
    files = sorted(path for room in _ROOMS for path in (package / room).glob("*.py"))
    files += [Path(spec.origin) for spec in map(find_spec, _ENGINES) if spec and spec.origin]
    return hashlib.sha256("\n".join(map(_stamp, files)).encode()).hexdigest()[:32]


def _stamp(path: Path) -> str:
    """A file's place, size and time, by which a change is noticed."""
    with suppress(OSError):
        stat = path.stat()
        return f"{path} {stat.st_size} {stat.st_mtime_ns}"
    return f"{path} absent"


def _read(path: Path) -> dict[str, int]:
    """What the file tells, if it is whole and was written by what makes sound now."""
    with suppress(OSError, ValueError):
        told = json.loads(path.read_bytes())
        if isinstance(told, dict) and told.get("made by") == _made_by():
            frames = told.get("frames")
            if isinstance(frames, dict) and all(_is_length(one) for one in frames.values()):
                return frames
    return {}


def _is_length(value: object) -> bool:
    return isinstance(value, int) and not isinstance(value, bool) and value > 0


def _write(path: Path, known: Mapping[str, int]) -> None:
    """Write beside the file, then rename: it is whole at any time."""
    path.parent.mkdir(parents=True, exist_ok=True)
    told = {"made by": _made_by(), "frames": dict(sorted(known.items()))}
    with tempfile.NamedTemporaryFile("w", dir=path.parent, suffix=".part", delete=False) as part:
        json.dump(told, part)
    os.replace(part.name, path)
