"""Clips as they lie beside the script: one channel, trimmed; the file's own rate.

Nothing slow is imported here, so that a check of a script may read its clips.
"""

from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from broadcaster.errors import ClipError
from broadcaster.script.programme import Clip, Programme, Steps
from broadcaster.voice.sound_file import read_sound_file

if TYPE_CHECKING:
    from pydub import AudioSegment


@dataclass(frozen=True, slots=True)
class ClipFault:
    """A clip of a programme that cannot be played."""

    steps: Steps
    """What leads to the clip in the programme."""
    error: ClipError


def clip_faults(programme: Programme) -> list[ClipFault]:
    """Every clip of a programme that cannot be played, in the script's order. Reads them all."""
    faults = []
    errors: dict[Clip, ClipError | None] = {}
    for steps, item in programme.items():
        if not isinstance(item, Clip):
            continue
        if item not in errors:
            errors[item] = _error_of(item, programme.folder)
        if error := errors[item]:
            faults.append(ClipFault(steps, error))
    return faults


def _error_of(clip: Clip, folder: Path) -> ClipError | None:
    try:
        read_clip(folder / clip.clip, clip.from_, clip.to)
    except ClipError as error:
        return error
    return None


def read_clip(path: Path, from_s: float = 0.0, to_s: float | None = None) -> "AudioSegment":
    """A file's sound from one time in it to another (or to its end), as one channel.

    32-bit frames at the file's own rate, at least one; two channels are averaged. A `to_s` behind
    the end means the end. Raises ClipError: no such file, not a sound file, damaged, more than two
    channels, longer than LONGEST_S, or nothing between the two times.
    """
    whole = read_sound_file(path)
    start = round(from_s * whole.frame_rate)
    end = None if to_s is None else round(to_s * whole.frame_rate)
    part = whole.get_sample_slice(start, end)
    if not part.raw_data:
        stop = "its end" if to_s is None else f"{to_s:g} s"
        raise ClipError(
            path, f"there is nothing from {from_s:g} s to {stop}; it lasts {len(whole) / 1000:g} s"
        )
    return part
