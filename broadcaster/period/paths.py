"""Two paths through the ionosphere (C. C. Watterson and others, IEEE Trans. Commun. COM-18, 1970).

The model of Rec. ITU-R F.1487: each path multiplies the analytic signal by a complex Gaussian curve
whose Doppler spectrum is Gaussian; twice its standard deviation is the spread. Both have half of
the power. What is shifted and delayed here is the sound, as a single-sideband receiver would have
it; for broadcasting with a carrier it stands in for selective fading.
"""

import math

import numpy as np

from broadcaster.period.analytic import AnalyticSignal
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.curve import Curve
from broadcaster.units import Samples, frames_from_seconds, silence


class Paths:
    """Rayleigh fading on each of two paths; the mean power stays.

    A share d of the amplitude fades, that is d^2 of the power; the rest is steady and comes by the
    first path alone (a Rice distribution). d is `depth` times the roughness, 1 at most: at
    roughness 0 nothing fades, and where d is 1 nothing is steady.
    """

    def __init__(
        self,
        delay_s: float,
        spread_hz: float,
        depth: float,
        rate: float,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        """`delay_s`: how much later the second path is, rounded to a whole frame."""
        self._analytic = AnalyticSignal(rate)
        self.latency = self._analytic.latency
        later = frames_from_seconds(delay_s, rate)
        self._past = silence(later), silence(later)
        self._curves = [
            Curve(chance.part(part), spread_hz / 2.0, rate, lambda curve: curve / 2.0)
            for part in ("first real", "first imaginary", "second real", "second imaginary")
        ]

        def fading(roughness: float, _strength: float) -> float:
            return min(1.0, depth * roughness)

        self._fading = conditions.following(fading)
        self._steady = conditions.following(
            lambda roughness, strength: math.sqrt(1.0 - fading(roughness, strength) ** 2)
        )

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block of `latency` frames before, as both paths bring it; a fresh array."""
        frames = len(block)
        direct, quadrature = self._analytic.process(block)
        late = np.concatenate((self._past[0], direct))
        late_quadrature = np.concatenate((self._past[1], quadrature))
        self._past = late[frames:], late_quadrature[frames:]
        taps = [curve.read(frame, frames) for curve in self._curves]
        out = direct * taps[0]
        out -= quadrature * taps[1]
        out += late[:frames] * taps[2]
        out -= late_quadrature[:frames] * taps[3]
        out *= self._fading.read(frame, frames)
        out += direct * self._steady.read(frame, frames)
        return out
