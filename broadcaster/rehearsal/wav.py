"""A WAV file that grows as a broadcast is rendered, and appears whole or not at all."""

import os
import wave
from pathlib import Path
from types import TracebackType
from typing import Self

from broadcaster.air.ring import CHANNELS, FRAME_BYTES, pcm_from_samples
from broadcaster.errors import StationError
from broadcaster.units import RATE, Samples


class WavFile:
    """16 bits, stereo, RATE; a context. Raises StationError for what cannot be written."""

    def __init__(self, path: Path) -> None:
        self._path = path
        self._part = path.with_name(path.name + ".part")

    def __enter__(self) -> Self:
        """Open the file, under a name of its own until it is whole."""
        try:
            self._file = wave.open(str(self._part), "wb")
        except OSError as error:
            raise self._unwritable(error) from error
        self._file.setnchannels(CHANNELS)
        self._file.setsampwidth(FRAME_BYTES // CHANNELS)
        self._file.setframerate(RATE)
        return self

    def write(self, block: Samples) -> None:
        """Add a block, shape (frames,)."""
        try:
            self._file.writeframesraw(pcm_from_samples(block))
        except OSError as error:
            raise self._unwritable(error) from error

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        traceback: TracebackType | None,
    ) -> None:
        """Give the file its name; what was not finished is taken away."""
        try:
            self._file.close()
            if kind is None:
                os.replace(self._part, self._path)
        except OSError as failure:
            raise self._unwritable(failure) from failure
        finally:
            self._part.unlink(missing_ok=True)

    def _unwritable(self, error: OSError) -> StationError:
        return StationError(f"Cannot write {self._path}: {error.strerror}.")
