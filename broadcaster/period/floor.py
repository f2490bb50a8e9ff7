"""The noise floor at a chain's entrance, and the guard beside it.

Digital silence leaves a filter with numbers too small for a processor's fast path (subnormal, below
1.2e-38): measured, it then runs up to twenty times slower, for ever. Noise at -160 dB prevents it.
"""

import numpy as np

from broadcaster.period.chance import QUANTUM, Chance, stretches
from broadcaster.units import Samples

FLOOR = 1e-8
"""RMS of the noise floor against full scale: -160 dB."""
LARGEST = 4.0
"""What is louder than this (12 dB over full scale) is held there."""
_NOISE = Chance(0, "floor").white(0, QUANTUM) * np.float32(FLOOR)


def with_floor(block: Samples, frame: int) -> Samples:
    """A copy of the block with the noise floor added: finite throughout, within +-LARGEST.

    One number that is none (NaN) would stay in a filter for ever and silence the station; it
    becomes 0.
    """
    out = np.empty_like(block)
    done = 0
    for _, start, stop in stretches(frame, len(block), QUANTUM, None):
        until = done + stop - start
        np.add(block[done:until], _NOISE[start:stop], out=out[done:until])
        done = until
    np.clip(out, -LARGEST, LARGEST, out=out)
    if np.isnan(out.sum()):
        out[np.isnan(out)] = 0.0
    return out
