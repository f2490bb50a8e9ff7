"""Short-time objective intelligibility: how well speech keeps the shape it had when it was clean.

C. H. Taal, R. C. Hendriks, R. Heusdens, J. Jensen, "An Algorithm for Intelligibility Prediction of
Time-Frequency Weighted Noisy Speech", IEEE Trans. Audio, Speech and Language Processing 19, 2011.
Ours, because one clean item is compared with many receptions of it: what belongs to the clean side
is worked out once. The tests hold it against pystoi.
"""

import math

import numpy as np
from numpy.lib.stride_tricks import sliding_window_view
from numpy.typing import NDArray
from scipy.signal import resample_poly

from broadcaster.units import RATE, Samples, db_from_power, gain_from_db

RATE_HZ = 10_000
"""At which everything is compared."""
_FRAME, _HOP, _TRANSFORM = 256, 128, 512
_BANDS, _LOWEST_HZ = 15, 150.0
_SEGMENT = 30
"""Frames that are compared at once: 384 ms."""
_RANGE_DB = 40.0
"""Frames of the clean speech so far below its loudest one are left out."""
_LEAST_RATIO = 1.0 + gain_from_db(15.0)
"""Of received to clean, where it counts no further: a signal-to-distortion ratio of -15 dB."""
_TINY = np.finfo(np.float64).eps
_WINDOW = np.hanning(_FRAME + 2)[1:-1]

Spectra = NDArray[np.float64]
Segments = NDArray[np.float64]
"""Shape (bands, segments, frames of a segment)."""


def _third_octaves() -> Spectra:
    """Which bins of the transform belong to which band: shape (bands, bins), 0 or 1."""
    bins_hz = np.linspace(0.0, RATE_HZ, _TRANSFORM + 1)[: _TRANSFORM // 2 + 1]
    edges_hz = _LOWEST_HZ * 2.0 ** ((2.0 * np.arange(_BANDS + 1) - 1.0) / 6.0)
    first = np.abs(bins_hz - edges_hz[:, None]).argmin(axis=1)
    place = np.arange(len(bins_hz))
    inside: NDArray[np.bool_] = (place >= first[:-1, None]) & (place < first[1:, None])
    return inside.astype(np.float64)


_THIRD_OCTAVES = _third_octaves()


class CleanSpeech:
    """An item as it was spoken, ready to be compared with what was received of it."""

    def __init__(self, clean: Samples) -> None:
        """`clean`: shape (frames,). Raises ValueError for less than 0.4 s of speech in it."""
        self._frames = len(clean)
        framed = _framed(at_10_khz(clean))
        levels_db = db_from_power(np.square(framed).sum(axis=1) + _TINY)
        self._heard = levels_db > levels_db.max(initial=-math.inf) - _RANGE_DB
        envelopes = self._envelopes(framed)
        if envelopes.shape[1] < _SEGMENT:
            raise ValueError("less than 0.4 s of speech cannot be compared")
        self._segments = _segments(envelopes)
        self._norms = np.linalg.norm(self._segments, axis=2, keepdims=True)
        self._shape = _shape(self._segments)

    def stoi(self, received: Samples) -> float:
        """The measure, about 0.4 for noise alone to 1 for speech untouched.

        `received`: as long as the clean speech and in step with it, at any level.
        """
        if len(received) != self._frames:
            raise ValueError(f"{len(received)} frames cannot be compared with {self._frames}")
        segments = _segments(self._envelopes(_framed(at_10_khz(received))))
        norms = np.linalg.norm(segments, axis=2, keepdims=True)
        levelled = segments * (self._norms / (norms + _TINY))
        np.minimum(levelled, self._segments * _LEAST_RATIO, out=levelled)
        alike = float(np.einsum("bsf,bsf->", _shape(levelled), self._shape))
        return alike / (_BANDS * int(segments.shape[1]))

    def _envelopes(self, framed: Spectra) -> Spectra:
        """What each band carries, frame by frame, the clean speech's pauses left out."""
        kept = framed[self._heard]
        joined = np.zeros((len(kept) + 1, _HOP))
        joined[:-1] += kept[:, :_HOP]
        joined[1:] += kept[:, _HOP:]
        spectra = np.fft.rfft(_framed(joined.ravel()), n=_TRANSFORM)
        power = np.square(spectra.real) + np.square(spectra.imag)
        envelopes: Spectra = np.sqrt(_THIRD_OCTAVES @ power.T)
        return envelopes


def at_10_khz(samples: Samples) -> NDArray[np.float64]:
    """Samples at RATE_HZ: what is compared."""
    common = math.gcd(RATE, RATE_HZ)
    resampled: NDArray[np.float64] = resample_poly(
        samples.astype(np.float64), RATE_HZ // common, RATE // common
    )
    return resampled


def _framed(samples: NDArray[np.float64]) -> Spectra:
    """Windowed frames, half overlapping: shape (frames, _FRAME); the last whole one is left out."""
    if len(samples) <= _FRAME:
        return np.zeros((0, _FRAME))
    frames: Spectra = sliding_window_view(samples, _FRAME)[: len(samples) - _FRAME : _HOP]
    return frames * _WINDOW


def _segments(envelopes: Spectra) -> Segments:
    return sliding_window_view(envelopes, _SEGMENT, axis=1)


def _shape(segments: Segments) -> Segments:
    """The segments without their mean, each of length 1."""
    centred: Segments = segments - segments.mean(axis=2, keepdims=True)
    centred /= np.linalg.norm(centred, axis=2, keepdims=True) + _TINY
    return centred
