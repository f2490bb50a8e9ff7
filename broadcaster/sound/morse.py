"""Morse code as a keyed tone."""

import numpy as np

from broadcaster.sound.edges import rising_edge
from broadcaster.sound.keying import Keying
from broadcaster.sound.level import SINE_PEAK
from broadcaster.units import RATE, Samples, frames_from_seconds, silence

EDGE_S = 0.005
"""How long the tone takes to rise and to fall. Measured at 25 wpm: 99 % of the power lies in 110 Hz
(Rec. ITU-R SM.1138 has 100 Hz for A1A at that speed); with 0.5 ms it would be twice as much."""


def tone_of(keyed: Keying, tone_hz: float) -> Samples:
    """The keyed tone, shape (keyed.frames,), peak level.SINE_PEAK; digital silence in the gaps.

    The tone runs on under the key, so that its phase is that of one unbroken sine. Each mark rises
    from its first frame on and falls from its end on, over EDGE_S (a mark shorter than that: over
    its own length), so that half amplitude follows the key by half an edge, always, and is there
    for exactly the mark's length.
    """
    samples = silence(keyed.frames)
    radians = 2.0 * np.pi * tone_hz / RATE
    for mark in keyed.marks:
        edge = min(frames_from_seconds(EDGE_S), mark.frames)
        rise = rising_edge(edge)
        frames = np.arange(mark.start_frame, mark.end_frame + edge)
        sine = SINE_PEAK * np.sin(radians * frames)
        sine[:edge] *= rise
        sine[-edge:] *= rise[::-1]
        samples[mark.start_frame : mark.end_frame + edge] = sine
    return samples
