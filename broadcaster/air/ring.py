"""The ring between the playout thread and the output: bytes, one writer, one reader, no lock.

A frame in here is FRAME_BYTES bytes: two channels of signed 16-bit little-endian PCM. Both carry
the same mono signal, or one does and the other is silent.
"""

import numpy as np

from broadcaster.air.sides import SIDES, Side
from broadcaster.units import Samples

CHANNELS = 2
FRAME_BYTES = 2 * CHANNELS
_FULL_SCALE = 32767.0


def pcm_from_samples(samples: Samples, side: Side | None = None) -> bytes:
    """Samples as the bytes of a frame each: rounded to 16 bits, clipped at full scale.

    With a side the other one is silent.
    """
    scaled = np.rint(samples * _FULL_SCALE)
    np.clip(scaled, -_FULL_SCALE, _FULL_SCALE, out=scaled)
    if side is None:
        return np.repeat(scaled.astype("<i2"), CHANNELS).tobytes()
    frames = np.zeros((len(scaled), CHANNELS), "<i2")
    frames[:, SIDES.index(side)] = scaled
    return frames.tobytes()


class Ring:
    """A ring of frames. write() is for one thread, read() for one other.

    The two counters only grow, each is written by one side only, and a side moves its counter
    after it has copied: so no lock is needed, and neither side ever waits.
    """

    def __init__(self, frames: int) -> None:
        self.frames = frames
        self._bytes = bytearray(frames * FRAME_BYTES)
        self._view = memoryview(self._bytes)
        self.written = 0
        self.taken = 0

    @property
    def filled(self) -> int:
        """Frames that wait to be read."""
        return self.written - self.taken

    @property
    def room(self) -> int:
        """Frames that can be written now."""
        return self.frames - self.filled

    def write(self, pcm: bytes) -> None:
        """Put whole frames in; there must be room for them."""
        frames = len(pcm) // FRAME_BYTES
        if frames > self.room:
            raise ValueError(f"{frames} frames do not fit: there is room for {self.room}")
        begin = self.written % self.frames * FRAME_BYTES
        first = min(len(pcm), len(self._bytes) - begin)
        self._view[begin : begin + first] = pcm[:first]
        self._view[: len(pcm) - first] = pcm[first:]
        self.written += frames

    def read(self, frames: int) -> bytes:
        """Take up to so many frames out; fewer if fewer are there."""
        frames = min(frames, self.filled)
        size = frames * FRAME_BYTES
        begin = self.taken % self.frames * FRAME_BYTES
        first = min(size, len(self._bytes) - begin)
        pcm = bytes(self._view[begin : begin + first]) + bytes(self._view[: size - first])
        self.taken += frames
        return pcm
