"""The analytic signal: a sound and its quadrature, as a single-sideband receiver has them."""

import numpy as np

from broadcaster.units import Samples, silence

_TAPS_AT_16_KHZ = 64
"""Taps that are not zero. Products of 32 numbers are what the library multiplies fastest."""
_KAISER_BETA = 5.65
"""60 dB (J. F. Kaiser, 1974: 0.1102 (60 - 8.7))."""
_LOWEST_HZ = 230.0
"""From here up to as far under half the rate the image is 60 dB down, and the gain is 1."""


class AnalyticSignal:
    """A Hilbert transformer: 90 degrees at every frequency, and a pure delay beside it.

    Every other tap of an odd antisymmetric FIR filter is zero, so that even and odd frames are
    worked out apart, with half the multiplications. Each frame is one product of the same length,
    whatever the block: the bits do not depend on the cutting.
    """

    def __init__(self, rate: float) -> None:
        """`rate`: of the stream, in Hz."""
        count = 32 * max(1, round(_TAPS_AT_16_KHZ * rate / 16_000 / 32))
        self.latency = count - 1
        """Frames by which both are later than what went in."""
        lags = np.arange(-self.latency, count, 2)
        window = np.kaiser(2 * count + 1, _KAISER_BETA)[1:-1:2]
        self._taps = (-2.0 / (np.pi * lags) * window).astype(np.float32)
        self._past = silence(2 * self.latency)

    def process(self, block: Samples) -> tuple[Samples, Samples]:
        """The delayed block and its quadrature, each of shape (frames,) as the block."""
        frames = len(block)
        stretch = np.concatenate((self._past, block))
        self._past = stretch[frames:]
        quadrature = np.empty(frames, np.float32)
        quadrature[0::2] = np.correlate(stretch[: len(stretch) - 1 + frames % 2 : 2], self._taps)
        if frames > 1:
            quadrature[1::2] = np.correlate(stretch[1 : len(stretch) - frames % 2 : 2], self._taps)
        return stretch[self.latency : self.latency + frames], quadrature
