"""Sound files as they lie on the disk: decoded, one channel, at the file's own rate.

libsndfile decodes (through soundfile, whose packages carry it), for every kind alike: pydub reads
only plain WAV itself and would start another program for the rest. What is decoded becomes a pydub
segment. Nothing slow is imported here, so that a check of a script may read its clips.
"""

import warnings
from collections.abc import Iterator
from pathlib import Path

import numpy as np
import soundfile
from numpy.typing import NDArray

from broadcaster.errors import ClipError
from broadcaster.quiet import quiet_libraries

with warnings.catch_warnings(action="ignore"):  # pydub misses a program that it does not need here
    from pydub import AudioSegment

SUFFIXES = (".wav", ".flac", ".mp3", ".ogg")
"""What a sound file may be."""
LONGEST_S = 15 * 60
"""A longer file is refused: it would fill the memory that the station keeps ready items in."""
_RATES_HZ = range(4_000, 192_000 + 1)
_CHANNELS = (1, 2)

_BLOCK_FRAMES = 1 << 18
_WIDTH_BYTES = 4
_FULL_SCALE = np.iinfo(np.int32).max


def read_sound_file(path: Path) -> AudioSegment:
    """A file's sound as one channel of 32-bit frames at the file's own rate, at least one frame.

    Two channels are averaged. Raises ClipError: no such file, not a sound file, damaged, more than
    two channels, or longer than LONGEST_S.
    """
    if path.suffix.lower() not in SUFFIXES:
        raise ClipError(path, f"a clip is one of {', '.join(SUFFIXES)}")
    if not path.is_file():
        raise ClipError(path, "there is no such file")
    try:
        with path.open("rb") as stream:
            if not stream.read(1):
                raise ClipError(path, "the file is empty")
        with quiet_libraries(), soundfile.SoundFile(path) as file:
            _refuse_unusual(path, file)
            blocks = [_mono(path, block, file.samplerate) for block in _blocks(file)]
            rate_hz = file.samplerate
    except OSError as error:
        raise ClipError(path, (error.strerror or str(error)).lower()) from error
    except soundfile.SoundFileError as error:
        raise ClipError(path, "it is damaged, or no wav, flac, mp3 or ogg file") from error
    if not blocks:
        raise ClipError(path, "there is no sound in it")
    return AudioSegment(b"".join(blocks), sample_width=_WIDTH_BYTES, frame_rate=rate_hz, channels=1)


def _refuse_unusual(path: Path, file: soundfile.SoundFile) -> None:
    """Refuse what would need more memory or time than a clip is worth; headers may also lie."""
    if file.channels not in _CHANNELS:
        raise ClipError(path, f"it has {file.channels} channels; one or two are allowed")
    if file.samplerate not in _RATES_HZ:
        raise ClipError(
            path,
            f"its rate is {file.samplerate} Hz; {_RATES_HZ[0]} to {_RATES_HZ[-1]} Hz are allowed",
        )
    if file.frames > LONGEST_S * file.samplerate:
        raise ClipError(
            path,
            f"it lasts {file.frames / file.samplerate / 60:.0f} min; "
            f"up to {LONGEST_S // 60} min are allowed",
        )


def _blocks(file: soundfile.SoundFile) -> Iterator[NDArray[np.float32]]:
    """What the file really holds, block by block, shape (frames, channels)."""
    while len(block := file.read(_BLOCK_FRAMES, dtype="float32", always_2d=True)):
        yield block


def _mono(path: Path, block: NDArray[np.float32], rate_hz: int) -> bytes:
    if not np.isfinite(block).all():
        raise ClipError(path, "it is damaged: it holds values that are no sound")
    frames = np.clip(block.astype(np.float64), -1.0, 1.0) * _FULL_SCALE
    segment = AudioSegment(
        frames.astype(np.int32).tobytes(),
        sample_width=_WIDTH_BYTES,
        frame_rate=rate_hz,
        channels=block.shape[1],
    )
    return bytes(segment.set_channels(1).raw_data)
