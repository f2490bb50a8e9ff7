"""Clips as items: the file's sound at the station's rate and level."""

from math import gcd
from pathlib import Path

import numpy as np
from scipy.signal import resample_poly

from broadcaster.sound.clip_file import read_clip
from broadcaster.sound.edges import soften
from broadcaster.sound.level import as_loud_as_speech
from broadcaster.units import RATE, Samples

EDGE_S = 0.003
"""How long a clip takes to rise and to fall, so that a cut is no click; common practice."""


def clip(path: Path, from_s: float = 0.0, to_s: float | None = None) -> Samples:
    """A file's sound from one time in it to another (or to its end), as loud as speech.

    Shape (frames,) with at least one frame, with soft edges within its length. Raises ClipError as
    clip_file.read_clip does.
    """
    segment = read_clip(path, from_s, to_s)
    full_scale = -float(np.iinfo(np.int32).min)
    frames = np.frombuffer(segment.raw_data, dtype=np.int32).astype(np.float32) / full_scale
    return soften(
        as_loud_as_speech(_at_station_rate(frames.astype(np.float32), segment.frame_rate)), EDGE_S
    )


def _at_station_rate(samples: Samples, rate_hz: int) -> Samples:
    """Resampled through a low-pass filter at the lower Nyquist rate; images measured at -57 dB."""
    if rate_hz == RATE:
        return samples
    common = gcd(RATE, rate_hz)
    return resample_poly(samples, RATE // common, rate_hz // common).astype(np.float32)
