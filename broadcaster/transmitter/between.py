"""What lies between the samples: where a converter draws its curve, peaks can be higher.

Rec. ITU-R BS.1770, Annex 2, asks for at least four points a frame at 48 kHz. Each is a weighted
sum of ten neighbours, the least-squares answer for what lies below _TOP_HZ: to 15 kHz it errs by
0.15 %.
"""

import numpy as np
from numpy.typing import NDArray

from broadcaster.units import RATE, Samples

_TAPS = 10
_TOP_HZ = 15_500.0
_PLACES = (0.25, 0.5, 0.75)

BEFORE = _TAPS // 2 - 1
AFTER = _TAPS // 2
"""Frames before and after a frame that its curve needs."""


def _weights(place: float) -> Samples:
    """Of the frames from BEFORE before to AFTER after, for the point so far behind a frame."""
    frame = np.arange(_TAPS) - BEFORE
    share = 2.0 * _TOP_HZ / RATE
    between_frames = np.sinc(share * (frame[:, None] - frame))
    to_place = np.sinc(share * (frame - place))
    solved = np.linalg.solve(between_frames + 1e-6 * np.eye(_TAPS), to_place)
    return solved.astype(np.float32)


_WEIGHTS = [_weights(place) for place in _PLACES]
_HIGHEST = np.float32(2.0)
"""The curve is taken to rise between two samples to at most so many times the louder one: a tone of
15 kHz, the highest that passes, rises to 1.8 times."""


def points_between(samples: Samples) -> NDArray[np.float32]:
    """The curve through some frames: shape (4, frames), each frame and three points behind it.

    `samples`: those frames with BEFORE frames before and AFTER frames after them.
    """
    frames = samples[BEFORE : len(samples) - AFTER]
    return np.stack([frames, *(np.correlate(samples, weights) for weights in _WEIGHTS)])


def points_over(
    samples: Samples, ceiling: np.float32
) -> tuple[NDArray[np.float32], NDArray[np.bool_]] | None:
    """points_between(), and which of them pass the ceiling, either way; None where none does.

    The curve is drawn only where samples come near the ceiling.
    """
    if max(samples.max(), -samples.min()) * _HIGHEST <= ceiling:
        return None
    size = np.abs(samples[BEFORE : len(samples) - AFTER + 1])
    near = np.maximum(size[:-1], size[1:]) * _HIGHEST > ceiling
    if not near.any():
        return None
    points = points_between(samples)
    over = near & (np.abs(points) > ceiling)
    return (points, over) if over.any() else None
