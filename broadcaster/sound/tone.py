"""Steady tones, one or several at once."""

from collections.abc import Sequence

import numpy as np

from broadcaster.sound.edges import soften
from broadcaster.sound.level import SINE_PEAK
from broadcaster.units import RATE, Samples, frames_from_seconds

EDGE_S = 0.01
"""How long a tone takes to rise and to fall; common practice, no source."""


def steady_tone(frequencies_hz: Sequence[float], seconds: float) -> Samples:
    """Sines of equal strength from phase 0, together as strong as one of peak level.SINE_PEAK.

    Shape (frames,) with at least one frame; the edges lie within the tone's length.
    """
    frames = np.arange(max(1, frames_from_seconds(seconds)))
    total = np.zeros(len(frames))
    for frequency_hz in frequencies_hz:
        total += np.sin(2.0 * np.pi * frequency_hz / RATE * frames)
    total *= SINE_PEAK / np.sqrt(len(frequencies_hz))
    return soften(total.astype(np.float32), EDGE_S)
