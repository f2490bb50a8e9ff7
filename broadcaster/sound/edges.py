"""Soft edges: no sound of ours begins or ends with a click."""

import numpy as np
from numpy.typing import NDArray

from broadcaster.units import Samples, frames_from_seconds


def rising_edge(frames: int) -> NDArray[np.float64]:
    """Raised cosine from just above 0.0 to just below 1.0, shape (frames,).

    Frame n is 0.5 - 0.5 cos(pi (n + 0.5) / frames), so that an edge turned round and added to
    itself is 1.0 everywhere, and half amplitude lies in the edge's middle.
    """
    return 0.5 - 0.5 * np.cos(np.pi * (np.arange(frames) + 0.5) / frames)


def soften(samples: Samples, edge_s: float) -> Samples:
    """A copy that rises over its first edge_s seconds and falls over its last.

    A sound shorter than two edges gets shorter ones; an empty one stays empty.
    """
    edge = min(frames_from_seconds(edge_s), len(samples) // 2)
    softened = samples.copy()
    if edge:
        rise = rising_edge(edge).astype(np.float32)
        softened[:edge] *= rise
        softened[-edge:] *= rise[::-1]
    return softened
