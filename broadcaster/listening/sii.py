"""The Speech Intelligibility Index: how much of what makes speech understood is audible.

ANSI S3.5-1997 (R2017), one-third-octave procedure: its Table 3, and of its Table B.2 the band
importance of several kinds of speech. Numbers of equations are the standard's.
"""

from collections.abc import Mapping

import numpy as np
from numpy.typing import ArrayLike, NDArray

from broadcaster.units import RATE, Samples, db_from_power, power_from_db

Bands = NDArray[np.float64]
"""One number for each of the BANDS_HZ: shape (18,)."""


def _row(*numbers: float) -> Bands:
    row = np.array(numbers)
    row.setflags(write=False)
    return row


# fmt: off
BANDS_HZ = _row(160, 200, 250, 315, 400, 500, 630, 800, 1000,
                1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300, 8000)
"""Nominal centres of the bands."""
EDGES_HZ = _row(141, 178, 224, 282, 355, 447, 562, 708, 891, 1122,
                1413, 1778, 2239, 2818, 3548, 4467, 5623, 7079, 8913)
"""The bands lie between these: one more than there are bands."""
NORMAL_EFFORT = _row(32.41, 34.48, 34.75, 33.98, 34.59, 34.27, 32.06, 28.30, 25.01,
                     23.00, 20.15, 17.32, 13.18, 11.55, 9.33, 5.31, 2.59, 1.13)
"""U: spectrum level of speech at normal vocal effort, 1 m in front of the lips, dB SPL."""
NORMAL_EFFORT_SPL = 62.35
"""Its overall level, dB SPL."""
HEARING = _row(0.6, -1.7, -3.9, -6.1, -8.2, -9.7, -10.8, -11.9, -12.5,
               -13.5, -15.4, -17.7, -21.2, -24.2, -25.9, -23.6, -15.8, -7.1)
"""X: spectrum level of the noise that the ear itself seems to make, dB SPL."""
IMPORTANCE: Mapping[str, Bands] = {
    "standard": _row(.0083, .0095, .0150, .0289, .0440, .0578, .0653, .0711, .0818,
                     .0844, .0882, .0898, .0868, .0844, .0771, .0527, .0364, .0185),
    "nonsense syllables": _row(0, 0, .0153, .0284, .0363, .0422, .0509, .0584, .0667,
                               .0774, .0893, .1104, .1120, .0981, .0867, .0728, .0551, 0),
    "words": _row(.0168, .0130, .0211, .0344, .0517, .0737, .0658, .0644, .0664,
                  .0802, .0987, .1171, .0932, .0783, .0562, .0337, .0177, .0176),
    "short passages": _row(.0114, .0153, .0179, .0558, .0898, .0944, .0709, .0660, .0628,
                           .0672, .0747, .0755, .0820, .0808, .0483, .0453, .0274, .0145),
}
"""I: how much each band tells, by the kind of speech; `words` is the test NU6."""
# fmt: on

_SILENT = -50.0
"""What is fainter, dB SPL per hertz, counts as no more than this."""
_MASKING = 3.32 * np.log10(0.89 * BANDS_HZ[:, None] / BANDS_HZ)
"""Of eq. 9: how masking spreads from a band (second index) up into another, per dB of slope."""
_BELOW = np.tril(np.ones((len(BANDS_HZ), len(BANDS_HZ))), -1)


def speech_intelligibility_index(
    speech: ArrayLike,
    noise: ArrayLike,
    threshold: ArrayLike = 0.0,
    importance: Bands = IMPORTANCE["standard"],
) -> float:
    """The index, 0 to 1, of speech in noise.

    speech, noise: equivalent spectrum levels E' and N' in dB SPL per hertz; threshold: the
    listener's hearing threshold T' in dB above normal. Each is shape (18,), or one number for all
    BANDS_HZ. Silence may be -inf.
    """
    speech, noise, threshold = (
        np.broadcast_to(np.maximum(levels, _SILENT), BANDS_HZ.shape)
        for levels in (speech, noise, threshold)
    )
    from_speech = speech - 24.0  # V: speech masks itself, upwards
    masker = np.maximum(from_speech, noise)  # B
    slope = -80.0 + 0.6 * (masker + 10.0 * np.log10(BANDS_HZ) - 6.353)  # C, dB an octave
    spread = power_from_db(masker + _MASKING * slope) * _BELOW
    masking = db_from_power(power_from_db(noise) + spread.sum(axis=1))  # Z, eq. 9
    masking[0] = masker[0]
    disturbance = np.maximum(masking, HEARING + threshold)  # D
    too_loud = np.minimum(1.0, 1.0 - (speech - NORMAL_EFFORT - 10.0) / 160.0)  # L, eq. 11
    audible = np.clip((speech - disturbance + 15.0) / 30.0, 0.0, 1.0)  # K, eq. 12
    return float((importance * too_loud * audible).sum())


def spectrum_levels(samples: Samples, spl_of_full_scale: float) -> Bands:
    """The mean power of sound in each of BANDS_HZ, as dB per hertz: shape (18,).

    samples: shape (frames,), at least 20 ms. spl_of_full_scale: the level, dB SPL, of a sound
    whose RMS is 1.0. Silence is -inf.
    """
    power = np.square(np.abs(np.fft.rfft(samples))) * (2.0 / len(samples) ** 2)
    edges = np.round(EDGES_HZ * len(samples) / RATE).astype(np.int64)
    in_bands = np.add.reduceat(power, edges)[:-1]
    widths_hz = np.diff(edges) * RATE / len(samples)
    return db_from_power(in_bands / widths_hz) + spl_of_full_scale
