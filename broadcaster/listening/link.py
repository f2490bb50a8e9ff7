"""The cheap link: from the samples that go out to a pocket receiver's loudspeaker.

Taken as exact where real ones differ least: pre-emphasis and de-emphasis undo each other, so what
is left of them is what de-emphasis makes of the receiver's own noise. All of it is linear but the
noise, and keeps its phase, so that what comes out is in step with what went in.
"""

import math

import numpy as np
from numpy.typing import NDArray
from scipy.fft import irfft, next_fast_len, rfft, rfftfreq

from broadcaster.period.chance import Chance
from broadcaster.period.emphasis import EUROPE_S
from broadcaster.units import RATE, Samples, frames_from_seconds, gain_from_db

HIGHEST_HZ = 15_000.0
"""Nothing above passes: the sound channel of Rec. ITU-R BS.450."""
LOUDSPEAKER_HZ = (300.0, 5_000.0)
"""Band of a small loudspeaker at -3 dB, falling by 12 dB an octave on both sides: a cone of 5 to 8
cm resonates at about 300 Hz, and such a set rolls treble off. Common practice, no source."""
SIGNAL_TO_NOISE_DB = 50.0
"""A full-scale sine of low pitch over the receiver's noise, up to 15 kHz, close to the transmitter.
Common practice for pocket receivers, no source."""
_GAP_FRAMES = frames_from_seconds(0.05)
"""Of silence, so that the end does not ring into the beginning."""


def through_link(samples: Samples, seed: int) -> Samples:
    """What a listener's receiver makes of a stretch of the broadcast: shape (frames,) both.

    The noise of one seed is the same each time, whatever the stretch.
    """
    length = next_fast_len(len(samples) + _GAP_FRAMES, real=True)
    frequency_hz = rfftfreq(length, 1.0 / RATE)
    passed: NDArray[np.complex64] = rfft(samples, length)
    passed += _receiver_noise(length, frequency_hz, seed)
    passed *= _loudspeaker(frequency_hz).astype(np.float32)
    heard: Samples = irfft(passed, length)[: len(samples)]
    return heard


def _receiver_noise(
    length: int, frequency_hz: NDArray[np.float64], seed: int
) -> NDArray[np.complex64]:
    """Of a frequency demodulator, whose noise rises with the pitch, behind de-emphasis."""
    shape = frequency_hz / np.sqrt(1.0 + np.square(2.0 * math.pi * EUROPE_S * frequency_hz))
    shape *= frequency_hz <= HIGHEST_HZ
    rms = math.sqrt(np.square(shape).sum() / len(shape))
    level = gain_from_db(-SIGNAL_TO_NOISE_DB) / math.sqrt(2.0)
    noise: NDArray[np.complex64] = rfft(Chance(seed, "receiver").white(0, length))
    noise *= (shape * (level / rms)).astype(np.float32)
    return noise


def _loudspeaker(frequency_hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Gain of the sound channel and the loudspeaker: Butterworth of second order at both ends."""
    low_hz, high_hz = LOUDSPEAKER_HZ
    lows = np.square(frequency_hz / low_hz)
    lows /= np.sqrt(1.0 + np.square(lows))
    highs = 1.0 / np.sqrt(1.0 + np.square(np.square(frequency_hz / high_hz)))
    gain: NDArray[np.float64] = lows * highs * (frequency_hz <= HIGHEST_HZ)
    return gain
