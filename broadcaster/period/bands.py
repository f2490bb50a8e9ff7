"""Band limits: what a line, a transmitter or a loudspeaker lets through."""

import numpy as np
from scipy.signal import butter, sosfilt

from broadcaster.units import Samples, frames_from_seconds

_SETTLED_S = 1.0


class BandLimit:
    """Butterworth band-pass: both edges at -3 dB, maximally flat between them.

    Noise of variance 1 leaves it with the RMS `noise_rms`.
    """

    latency = 0

    def __init__(self, low_hz: float, high_hz: float, slope_db: float, rate: float) -> None:
        """`slope_db`: fall beyond each edge, in dB an octave, 6 for each order."""
        order = round(slope_db / 6.0)
        sections = butter(order, (low_hz, high_hz), "bandpass", fs=rate, output="sos")
        impulse = np.zeros(frames_from_seconds(_SETTLED_S, rate))
        impulse[0] = 1.0
        self.noise_rms = float(np.sqrt(np.square(sosfilt(sections, impulse)).sum()))
        self._sections = sections.astype(np.float32)
        self._state = np.zeros((len(sections), 2), dtype=np.float32)

    def process(self, block: Samples, _frame: int, /) -> Samples:
        """The block, filtered on from where the last one ended."""
        filtered, self._state = sosfilt(self._sections, block, zi=self._state)
        return filtered
