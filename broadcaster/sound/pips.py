"""The time signal: pips on the second, the last and longest one on the mark.

After the Greenwich Time Signal, first broadcast on 5 February 1924: pips of 1 kHz at the seconds
55 to 59, 0.1 s each, and a last one on the hour, which is the start of that last pip. Before 1972
all of them were 0.1 s; since then the last is 0.5 s (public descriptions).
"""

import numpy as np

from broadcaster.sound.level import SINE_PEAK
from broadcaster.units import RATE, Samples, frames_from_seconds, silence

PIP_HZ = 1000
PIP_S = 0.1
LAST_PIP_S = 0.5


def time_signal(pips: int) -> Samples:
    """That many pips, one a second; shape (pips * RATE,), peak level.SINE_PEAK.

    The last pip starts exactly pips - 1 seconds after the first frame, and silence fills its
    second, so that the signal is whole seconds long. A pip is whole cycles from zero to zero and
    has no other shaping.
    """
    samples = silence(pips * RATE)
    for second in range(pips):
        seconds = LAST_PIP_S if second == pips - 1 else PIP_S
        frames = np.arange(frames_from_seconds(seconds))
        start = second * RATE
        samples[start : start + len(frames)] = SINE_PEAK * np.sin(
            2.0 * np.pi * PIP_HZ / RATE * frames
        )
    return samples
