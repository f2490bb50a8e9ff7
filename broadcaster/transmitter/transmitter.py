"""The last station of the stream: what a transmitter may be given, and nothing else."""

import numpy as np
from scipy.signal import butter, ellip, sosfilt

from broadcaster.period.floor import with_floor
from broadcaster.transmitter.limiter import Limiter
from broadcaster.units import RATE, Samples

LOWEST_HZ = 40.0
"""-3 dB, first order. The band of a sound channel is 40 Hz to 15 kHz (Rec. ITU-R BS.644)."""
HIGHEST_HZ = 15_000.0
"""-0.1 dB; Rec. ITU-R BS.450. Above it, the pilot tone of a stereo transmitter lies at 19 kHz."""
_RIPPLE_DB = 0.1
_STOP_DB = 66.0
"""Above 18.0 kHz with an elliptic filter of order 7."""


def _programme_band() -> Samples:
    """The sections that let 40 Hz to 15 kHz through, and no direct current."""
    lowest = butter(1, LOWEST_HZ, "highpass", fs=RATE, output="sos")
    highest = ellip(7, _RIPPLE_DB, _STOP_DB, HIGHEST_HZ, fs=RATE, output="sos")
    return np.vstack([lowest, highest]).astype(np.float32)


class Transmitter:
    """Limits the band, then the peaks; the ceiling holds at the output.

    Any cutting of the stream into blocks gives the same samples, bit for bit.
    """

    def __init__(self, ceiling_dbfs: float = -1.0) -> None:
        self._sections = _programme_band()
        self._state = np.zeros((len(self._sections), 2), dtype=np.float32)
        self._limiter = Limiter(ceiling_dbfs)
        self.latency = self._limiter.latency
        """Frames by which what goes out is later than what came in."""

    def process(self, block: Samples, frame: int) -> Samples:
        """The next frames: shape (frames,) in, the same shape out, |sample| under the ceiling.

        `frame` is the absolute number of the block's first frame; blocks follow each other.
        """
        if not len(block):
            return block.copy()
        stream = with_floor(block, frame)
        stream, self._state = sosfilt(self._sections, stream, zi=self._state)
        return self._limiter.process(stream, frame)
