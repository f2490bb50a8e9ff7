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


_WEIGHTS = np.stack(
    [np.eye(_TAPS, dtype=np.float32)[BEFORE], *(_weights(place) for place in _PLACES)], axis=1
)
"""Of a frame's surroundings, for itself and the three points behind it: shape (_TAPS, 4)."""
_HIGHEST = np.float32(2.0)
"""The curve is taken to rise between two samples to at most so many times the louder one: a tone of
15 kHz, the highest that passes, rises to 1.8 times."""


def points_at(samples: Samples, frames: NDArray[np.intp]) -> NDArray[np.float32]:
    """The curve at some frames: shape (4, frames), each of them and three points behind it.

    `frames` are counted from the one that lies BEFORE frames behind the first of `samples`, which
    reach AFTER frames beyond each of them.
    """
    around = samples[frames + np.arange(_TAPS)[:, None]]
    points: NDArray[np.float32] = (around[:, None] * _WEIGHTS[:, :, None]).sum(axis=0)
    return points


def points_over(
    samples: Samples, ceiling: np.float32
) -> tuple[NDArray[np.intp], NDArray[np.float32]] | None:
    """The frames where the curve passes the ceiling, either way, and points_at() them; None where
    it never does.

    The curve is drawn only where samples come near the ceiling.
    """
    loud = np.abs(samples[BEFORE : len(samples) - AFTER + 1]) > ceiling / _HIGHEST
    if not loud.any():
        return None
    near = np.flatnonzero(loud[:-1] | loud[1:])
    points = points_at(samples, near)
    over = (np.abs(points) > ceiling).any(axis=0)
    return (near[over], points[:, over]) if over.any() else None
