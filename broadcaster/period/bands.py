"""Band limits: what a line, a transmitter or a loudspeaker lets through."""

import math
from functools import cache

import numpy as np
from numpy.typing import NDArray
from scipy.signal import butter, sosfilt, zpk2sos

from broadcaster.period.sections import Sections
from broadcaster.units import Samples, frames_from_seconds

_SETTLED_S = 1.0
_TILT_FROM_HZ = 15.0
_APART = 4.0
_ONE_POLE_DB = -20.0 * math.log10(2.0)


class BandLimit:
    """Butterworth band-pass: both edges at -3 dB, maximally flat between them.

    Noise of variance 1 leaves it with the RMS `noise_rms`. The phase is that of the filter: it
    turns most at the edges, and nothing is delayed on purpose.
    """

    latency = 0

    def __init__(
        self, low_hz: float, high_hz: float, slope_db: float, rate: float, tilt_db: float = 0.0
    ) -> None:
        """`slope_db`: fall beyond each edge, in dB an octave, 6 for each order.

        `tilt_db`: rise of all frequencies, -6.02 to 0 dB an octave; it is kept within 0.5 dB from
        40 Hz to three tenths of the rate.
        """
        order = round(slope_db / 6.0)
        sections, self.noise_rms = _designed(low_hz, high_hz, order, rate, tilt_db)
        self._filter = Sections(sections)

    def process(self, block: Samples, _frame: int, /) -> Samples:
        """The block, filtered on from where the last one ended."""
        return self._filter.process(block)


@cache
def _designed(
    low_hz: float, high_hz: float, order: int, rate: float, tilt_db: float
) -> tuple[NDArray[np.float64], float]:
    """The sections of a band-pass, and what it makes of the RMS of white noise."""
    sections = butter(order, (low_hz, high_hz), "bandpass", fs=rate, output="sos")
    if tilt_db:
        sections = np.concatenate([sections, _tilted(tilt_db, rate)])
    impulse = np.zeros(frames_from_seconds(_SETTLED_S, rate))
    impulse[0] = 1.0
    return sections, float(np.sqrt(np.square(sosfilt(sections, impulse)).sum()))


def _tilted(tilt_db: float, rate: float) -> NDArray[np.float64]:
    """Sections of a steady fall: poles every two octaves, each with a zero on its way to the next.

    A pole alone falls by 6.02 dB an octave, so that its zero follows after as much of the way as
    the tilt is of that. (Matched in z, which holds the slope to three tenths of the rate.)
    """
    poles_hz = _TILT_FROM_HZ * _APART ** np.arange(math.log(rate / 2 / _TILT_FROM_HZ, _APART))
    zeros_hz = poles_hz * _APART ** (tilt_db / _ONE_POLE_DB)
    poles, zeros = (np.exp(-2.0 * math.pi * hertz / rate) for hertz in (poles_hz, zeros_hz))
    return np.array(zpk2sos(zeros, poles, 1.0))
