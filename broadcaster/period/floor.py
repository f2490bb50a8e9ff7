"""The noise floor at a chain's entrance, and the guard beside it.

Digital silence leaves a filter with numbers too small for a processor's fast path (subnormal, below
1.2e-38): measured, it then runs up to twenty times slower, for ever. Noise at -160 dB prevents it.
"""

import numpy as np

from broadcaster.period.chance import QUANTUM, Chance
from broadcaster.units import Samples

FLOOR = 1e-8
"""RMS of the noise floor against full scale: -160 dB."""
LARGEST = np.float32(4.0)
"""What is louder than this (12 dB over full scale) is held there."""
_NOISE = np.tile(Chance(0, "floor").white(0, QUANTUM) * np.float32(FLOOR), 9)
"""The floor comes again every QUANTUM frames; so much of it reaches over blocks of 65,536."""


def with_floor(block: Samples, frame: int) -> Samples:
    """A copy of the block with the noise floor added: finite throughout, within +-LARGEST.

    One number that is none (NaN) would stay in a filter for ever and silence the station; it
    becomes 0.
    """
    start, stop = frame % QUANTUM, frame % QUANTUM + len(block)
    noise = _NOISE if stop <= len(_NOISE) else np.resize(_NOISE, stop)
    out: Samples = block + noise[start:stop]
    if not (out.max(initial=0.0) <= LARGEST and out.min(initial=0.0) >= -LARGEST):  # or NaN
        out[np.isnan(out)] = 0.0
        np.clip(out, -LARGEST, LARGEST, out=out)
    return out
