"""One room for units: every conversion between seconds, frames, decibels and gain is here.

Between rooms sound is one kind of array: float32, shape (frames,), mono, full scale +-1.0,
RATE frames a second.
"""

from typing import TypeAlias

import numpy as np
from numpy.typing import NDArray

RATE = 48_000
"""Frames a second, everywhere between the rooms."""

Samples: TypeAlias = NDArray[np.float32]
"""Mono sound: shape (frames,), float32, full scale +-1.0, RATE frames a second."""


def frames_from_seconds(seconds: float, rate: float = RATE) -> int:
    """The nearest whole number of frames of a stream of `rate` frames a second."""
    return round(seconds * rate)


def seconds_from_frames(frames: int) -> float:
    """The length of a count of frames, in seconds."""
    return frames / RATE


def gain_from_db(level_db: float) -> float:
    """Amplitude factor of a level in decibels: 20 dB is ten times."""
    return float(10.0 ** (level_db / 20.0))


def db_from_gain(gain: float) -> float:
    """Level in decibels of an amplitude factor; silence is -inf."""
    return float(20.0 * np.log10(gain)) if gain > 0 else float("-inf")


def power_from_db(level_db: NDArray[np.float64]) -> NDArray[np.float64]:
    """Power factors of levels in decibels, any shape: 10 dB is ten times."""
    power: NDArray[np.float64] = 10.0 ** (level_db / 10.0)
    return power


def db_from_power(power: NDArray[np.float64]) -> NDArray[np.float64]:
    """Levels in decibels of power factors, any shape; no power is -inf."""
    with np.errstate(divide="ignore"):
        level_db: NDArray[np.float64] = 10.0 * np.log10(power)
    return level_db


def silence(frames: int) -> Samples:
    """Digital silence, shape (frames,)."""
    return np.zeros(frames, dtype=np.float32)


def session_clock(seconds: float) -> str:
    """Seconds as an operator reads them: 4:05, or 1:04:05 from an hour on."""
    whole = max(0, int(seconds))
    hours, rest = divmod(whole, 3600)
    minutes, left = divmod(rest, 60)
    return f"{hours}:{minutes:02d}:{left:02d}" if hours else f"{minutes}:{left:02d}"
