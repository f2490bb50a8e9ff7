"""Clips as items: the file's sound at the station's rate and level."""

from pathlib import Path

from broadcaster.sound.clip_file import read_clip
from broadcaster.sound.edges import soften
from broadcaster.sound.level import as_loud_as_speech
from broadcaster.units import Samples
from broadcaster.voice.recordings import samples_of_segment

EDGE_S = 0.003
"""How long a clip takes to rise and to fall, so that a cut is no click; common practice."""


def clip(path: Path, from_s: float = 0.0, to_s: float | None = None) -> Samples:
    """A file's sound from one time in it to another (or to its end), as loud as speech.

    Shape (frames,) with at least one frame, with soft edges within its length. Raises ClipError as
    clip_file.read_clip does.
    """
    return soften(as_loud_as_speech(samples_of_segment(read_clip(path, from_s, to_s))), EDGE_S)
