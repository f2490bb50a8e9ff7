"""The last station of the stream: what a transmitter may be given, and nothing else."""

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, ellip, zpk2sos

from broadcaster.period.emphasis import AMERICA_S, EUROPE_S
from broadcaster.period.floor import with_floor
from broadcaster.period.pieces import in_pieces
from broadcaster.period.sections import Sections
from broadcaster.script.programme import Programme
from broadcaster.transmitter.limiter import DeviationLimiter, Limiter
from broadcaster.transmitter.making_up import make_up_db
from broadcaster.units import RATE, Samples, gain_from_db

LOWEST_HZ = 40.0
"""-3 dB, first order. The band of a sound channel is 40 Hz to 15 kHz (Rec. ITU-R BS.644)."""
HIGHEST_HZ = 15_000.0
"""-0.1 dB; Rec. ITU-R BS.450. Above it, the pilot tone of a stereo transmitter lies at 19 kHz."""
CEILING_DBTP = -1.0
"""Of the curve through the samples: EBU R 128 (from memory)."""
_MARGIN_DB = 0.1
"""The curve between four points a frame, and what the filters of a converter add to it."""
_RIPPLE_DB = 0.1
_STOP_DB = 66.0
"""Above 18.0 kHz with an elliptic filter of order 7."""


def _programme_band(make_up_db: float) -> NDArray[np.float64]:
    """The sections that let 40 Hz to 15 kHz through, and no direct current."""
    lowest = butter(1, LOWEST_HZ, "highpass", fs=RATE, output="zpk")
    highest = ellip(7, _RIPPLE_DB, _STOP_DB, HIGHEST_HZ, fs=RATE, output="zpk")
    zeros, poles = (np.append(lowest[part], highest[part]) for part in (0, 1))
    sections: NDArray[np.float64] = zpk2sos(
        zeros, poles, lowest[2] * highest[2] * gain_from_db(make_up_db)
    )
    return sections


TIME_CONSTANTS_S = {"50 us": EUROPE_S, "75 us": AMERICA_S}
"""What a script calls them, and what they are."""


def transmitter_of(programme: Programme) -> "Transmitter":
    """The transmitter of a programme: its sound made up to one loudness, its own pre-emphasis.

    Raises ValueError for a programme without a sound.
    """
    if programme.period is None:
        raise ValueError("the programme has no period sound; read it through the script room")
    return Transmitter(
        make_up_db=make_up_db(programme.period),
        time_constant_s=TIME_CONSTANTS_S[programme.station.pre_emphasis],
    )


class Transmitter:
    """Limits the band, then the peaks, then the deviation; all three hold at the output.

    Any cutting of the stream into blocks gives the same samples, bit for bit.
    """

    def __init__(
        self,
        ceiling_dbtp: float = CEILING_DBTP,
        *,
        make_up_db: float = 0.0,
        time_constant_s: float = EUROPE_S,
    ) -> None:
        """`make_up_db`: a steady gain at the entrance. `time_constant_s`: of the transmitter's own
        pre-emphasis, 50e-6 or 75e-6 (Rec. ITU-R BS.450).
        """
        self._band = Sections(_programme_band(make_up_db))
        ceiling_dbfs = ceiling_dbtp - _MARGIN_DB
        self._peaks = Limiter(ceiling_dbfs)
        self._deviation = DeviationLimiter(ceiling_dbfs, time_constant_s)
        self.latency = self._peaks.latency + self._deviation.latency
        """Frames by which what goes out is later than what came in."""

    def process(self, block: Samples, frame: int) -> Samples:
        """The next frames: shape (frames,) in, the same shape out, |sample| under the ceiling.

        `frame` is the absolute number of the block's first frame; blocks follow each other.
        """
        return in_pieces(self._piece, block, frame) if len(block) else block.copy()

    def _piece(self, block: Samples, frame: int) -> Samples:
        stream = self._band.process(with_floor(block, frame))
        return self._deviation.process(self._peaks.process(stream, frame), frame)
