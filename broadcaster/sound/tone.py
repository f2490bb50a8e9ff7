"""Steady tones, one or several at once."""

import math
from collections.abc import Sequence

import numpy as np

from broadcaster.sound.edges import soften
from broadcaster.sound.level import SINE_PEAK
from broadcaster.units import RATE, Samples, frames_from_seconds, silence

EDGE_S = 0.01
"""How long a tone takes to rise and to fall; common practice, no source."""


def steady_tone(frequencies_hz: Sequence[float], seconds: float) -> Samples:
    """Sines of equal strength from phase 0, together as strong as one of peak level.SINE_PEAK.

    Shape (frames,) with at least one frame; the edges lie within the tone's length.
    """
    samples = silence(max(1, frames_from_seconds(seconds)))
    peak = SINE_PEAK / math.sqrt(len(frequencies_hz))
    for start in range(0, len(samples), RATE):  # block by block, or a long tone would fill memory
        block = samples[start : start + RATE]
        frames = np.arange(start, start + len(block))
        for frequency_hz in frequencies_hz:
            block += peak * np.sin(2.0 * np.pi * frequency_hz / RATE * frames)
    return soften(samples, EDGE_S)
