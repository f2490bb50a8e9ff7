"""Slow automatic gain: what is soft comes up, and so does the noise between words."""

import numpy as np
from numpy.typing import NDArray

from broadcaster.period.envelope import EnvelopeGain
from broadcaster.units import Samples


class AutomaticGain:
    """Holds the peak level: over it always, under it as far as the gain reaches.

    Static curve: peaks between `level_dbfs - most_db` and full scale leave at `level_dbfs`, what
    is softer leaves `most_db` louder. The gain is one or two cells of 8 ms late, so that a sudden
    sound comes out too loud for a moment, as in a set.
    """

    latency = 0

    def __init__(
        self, most_db: float, level_dbfs: float, attack_s: float, recovery_s: float, rate: float
    ) -> None:
        """`attack_s`, `recovery_s`: times in which it follows a rise or a fall of 20 dB."""

        def gain(level_db: NDArray[np.float64]) -> NDArray[np.float64]:
            made_up_db = np.minimum(level_dbfs - level_db, most_db)
            made_up: NDArray[np.float64] = 10.0 ** (made_up_db / 20.0)
            return made_up

        self._gain = EnvelopeGain(attack_s, recovery_s, rate, gain)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block, its level held."""
        block *= self._gain.read(block, frame)
        return block
