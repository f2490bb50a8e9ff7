"""Band limits: what a line, a transmitter or a loudspeaker lets through."""

from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, sosfilt

from broadcaster.period.sections import Sections
from broadcaster.units import Samples, frames_from_seconds

_SETTLED_S = 1.0


class BandLimit:
    """Butterworth band-pass: both edges at -3 dB, maximally flat between them.

    Noise of variance 1 leaves it with the RMS `noise_rms`. The phase is that of the filter: it
    turns most at the edges, and nothing is delayed on purpose.
    """

    latency = 0

    def __init__(self, low_hz: float, high_hz: float, slope_db: float, rate: float) -> None:
        """`slope_db`: fall beyond each edge, in dB an octave, 6 for each order."""
        sections, self.noise_rms = _designed(low_hz, high_hz, round(slope_db / 6.0), rate)
        self._filter = Sections(sections)

    def process(self, block: Samples, _frame: int, /) -> Samples:
        """The block, filtered on from where the last one ended."""
        return self._filter.process(block)


@cache
def _designed(
    low_hz: float, high_hz: float, order: int, rate: float
) -> tuple[NDArray[np.float64], float]:
    """The sections of a band-pass, and what it makes of the RMS of white noise."""
    sections = butter(order, (low_hz, high_hz), "bandpass", fs=rate, output="sos")
    impulse = np.zeros(frames_from_seconds(_SETTLED_S, rate))
    impulse[0] = 1.0
    return sections, float(np.sqrt(np.square(sosfilt(sections, impulse)).sum()))
