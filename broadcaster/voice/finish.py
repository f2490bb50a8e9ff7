"""From an engine's speech to the rooms' samples: 48 kHz, and one loudness for every voice."""

from math import gcd

import numpy as np
from scipy.signal import resample_poly

from broadcaster.units import RATE, Samples, gain_from_db
from broadcaster.voice.engine import DrySpeech

SPEECH_DBFS = -20.0
"""RMS of every utterance while it sounds. Chosen so that CEILING_DBFS is met only by the lowest of
the shipped voices, whose peaks were measured up to 20.6 dB above it."""
CEILING_DBFS = -1.0
"""An utterance with a peak above this is made softer as a whole; nothing is ever cut."""

_FADE_FRAMES = RATE // 200
_WINDOW = RATE // 50
_SOUNDING_DB = -20.0


def samples_of(dry: DrySpeech) -> Samples:
    """The speech as samples, shape (frames,): resampled to RATE, its end smooth, levelled.

    A pure function of the speech, which must not be silent throughout. The last 5 ms fade, since
    espeak's variants with an echo end in the midst of it, 40 dB down.
    """
    samples = at_station_rate(dry.pcm.astype(np.float32) / np.float32(32_768), dry.rate_hz)
    fading = min(_FADE_FRAMES, len(samples))
    samples[-fading:] *= np.linspace(1.0, 0.0, fading, endpoint=False, dtype=np.float32)
    return levelled(samples)


def at_station_rate(samples: Samples, rate_hz: int) -> Samples:
    """A copy resampled through a low-pass filter at the lower Nyquist rate; images at -57 dB.

    The images' level was measured.
    """
    common = gcd(RATE, rate_hz)
    return resample_poly(samples, RATE // common, rate_hz // common).astype(np.float32)


def levelled(samples: Samples) -> Samples:
    """The sound scaled, by one factor, to SPEECH_DBFS while it sounds, peaks under CEILING_DBFS."""
    gain = min(
        gain_from_db(SPEECH_DBFS) / sounding_rms(samples),
        gain_from_db(CEILING_DBFS) / float(np.abs(samples).max()),
    )
    return samples * np.float32(gain)


def sounding_rms(samples: Samples) -> float:
    """RMS of a sound without its pauses: over its 20 ms windows within 20 dB of the loudest.

    In the manner of the active speech level of Rec. ITU-T P.56, with a simpler gate, chosen
    because single figures are shorter than that one's hangover of 200 ms. A last window that is
    not full counts as if silence filled it.
    """
    filled = np.zeros(-(-len(samples) // _WINDOW) * _WINDOW)
    filled[: len(samples)] = samples
    powers = np.square(filled.reshape(-1, _WINDOW)).mean(axis=1)
    sounding = powers[powers >= powers.max() * gain_from_db(_SOUNDING_DB) ** 2]
    return float(np.sqrt(sounding.mean()))
