"""Loudness and true peak, after Rec. ITU-R BS.1770, of sound that is known whole."""

import numpy as np
from numpy.typing import NDArray
from scipy.signal import resample_poly, sosfilt

from broadcaster.units import RATE, Samples, db_from_gain

_K_WEIGHTING = np.array(
    [
        [
            1.53512485958697,
            -2.69169618940638,
            1.19839281085285,
            1.0,
            -1.69065929318241,
            0.73248077421585,
        ],
        [1.0, -2.0, 1.0, 1.0, -1.99004745483398, 0.99007225036621],
    ]
)
"""The head's shelf and the low cut at 48 kHz: Rec. ITU-R BS.1770, Annex 1, Tables 1 and 2."""
_OFFSET = -0.691
"""Annex 1, equation 2."""
_BLOCK_FRAMES = 2 * RATE // 5
_STEP_FRAMES = RATE // 10
"""Blocks of 400 ms that overlap by three quarters; Annex 1."""
_SILENT_LUFS = -70.0
_RELATIVE_LU = -10.0
"""The two gates; Annex 1."""
_OVERSAMPLING = 4
"""Annex 2: at least so much at 48 kHz."""


def loudness_lufs(samples: Samples) -> float:
    """Integrated loudness of one channel, gated: Rec. ITU-R BS.1770, Annex 1.

    `samples`: shape (frames,), full scale 1.0. Minus infinity for what is shorter than 400 ms or
    nowhere louder than -70 LUFS.
    """
    powers = _block_powers(samples)
    powers = powers[_lufs(powers) > _SILENT_LUFS]
    if not len(powers):
        return float("-inf")
    relative = float(_lufs(powers.mean())) + _RELATIVE_LU
    return float(_lufs(powers[_lufs(powers) > relative].mean()))


def true_peak_dbtp(samples: Samples) -> float:
    """The highest point of the curve through the samples: Rec. ITU-R BS.1770, Annex 2."""
    if not len(samples):
        return float("-inf")
    curve = resample_poly(samples.astype(np.float64), _OVERSAMPLING, 1)
    return db_from_gain(float(np.abs(curve).max()))


def _block_powers(samples: Samples) -> NDArray[np.float64]:
    """The mean square of each 400 ms, weighted as the ear hears."""
    weighted = sosfilt(_K_WEIGHTING, samples.astype(np.float64))
    energy = np.concatenate([[0.0], np.cumsum(np.square(weighted))])
    starts = np.arange(0, len(samples) - _BLOCK_FRAMES + 1, _STEP_FRAMES)
    powers: NDArray[np.float64] = (energy[starts + _BLOCK_FRAMES] - energy[starts]) / _BLOCK_FRAMES
    return powers


def _lufs(power: NDArray[np.float64] | np.float64) -> NDArray[np.float64]:
    with np.errstate(divide="ignore"):
        return np.asarray(_OFFSET + 10.0 * np.log10(power))
