"""The carrier: while it is there the channel is quiet; where it drops away noise comes up."""

import math

import numpy as np

from broadcaster.period.bands import BandLimit
from broadcaster.period.beds import Bed
from broadcaster.period.chance import Chance, Quanta
from broadcaster.period.conditions import Conditions
from broadcaster.units import Samples, frames_from_seconds, gain_from_db, silence

_SLOPE_DB = 12.0
_QUANTUM = 8192
_SPREAD = 0.5
"""Standard deviation of the logarithm of a dropout's length."""
_LONGEST = 4.0
"""No dropout is longer than so many times the middle one."""
_EDGE_S = 0.015
"""How long a carrier takes to come up or to drop away."""
_LEAD_S = 0.15
"""A keyed carrier is up so long before speech: the sender presses the key, and then speaks."""
_SOUNDING = np.float32(gain_from_db(-50.0))
"""What is louder is taken for speech. This and the four before: chosen by ear."""


class Interruptions:
    """How much of the carrier is away, 0 to 1, in dropouts at the moments of a Poisson process."""

    def __init__(self, interval_s: float, length_s: float, rate: float, chance: Chance) -> None:
        self._interval_frames = interval_s * rate
        self._length_frames = length_s * rate
        self._edge = _edge_frames(rate)
        self._chance = chance
        self._quanta = Quanta(self._quantum, _QUANTUM, chance.loop)

    def read(self, frame: int, frames: int) -> Samples:
        """A stretch, shape (frames,), read only."""
        return self._quanta.read(frame, frames)

    def _quantum(self, number: int) -> Samples:
        first = number * _QUANTUM
        before = math.ceil(_LONGEST * self._length_frames) + 2 * self._edge
        if self._chance.loop is None:
            before = min(before, first)
        moments, marks = self._chance.impulses(
            first - before, before + _QUANTUM, self._interval_frames
        )
        away = silence(_QUANTUM)
        lengths = np.minimum(np.exp(_SPREAD * marks[:, 0]), _LONGEST) * self._length_frames
        for moment, length in zip((moments - before).tolist(), lengths.tolist(), strict=True):
            since = np.arange(-moment, _QUANTUM - moment, dtype=np.float32)
            dip = np.minimum(since, np.float32(length + 2 * self._edge) - since)
            np.maximum(away, np.clip(dip / np.float32(self._edge), 0.0, 1.0), out=away)
        return away


class Key:
    """How much of the carrier is away while the sender does not speak.

    What went in comes out `latency` frames later; the carrier comes up so long before it.
    """

    def __init__(self, hold_s: float, rate: float) -> None:
        """`hold_s`: how long the carrier stays after speech."""
        self.latency = frames_from_seconds(_LEAD_S, rate)
        self._held = self.latency + frames_from_seconds(hold_s, rate)
        self._edge = _edge_frames(rate)
        self._past = silence(self.latency)
        self._silent_for = self._held
        """Frames since the last that sounded, as many as matter."""
        self._up = np.zeros(self._edge, np.bool_)

    def process(self, block: Samples) -> tuple[Samples, Samples]:
        """The delayed block, and how much of the carrier is away, each of shape (frames,)."""
        frames = len(block)
        place = np.arange(1, frames + 1, dtype=np.int32)
        sounded = np.where(np.abs(block) > _SOUNDING, place, np.int32(-self._silent_for))
        silent_for = place - np.maximum.accumulate(sounded)
        self._silent_for = min(int(silent_for[-1]), self._held)
        up = np.concatenate((self._up, silent_for < self._held))
        self._up = up[frames:]
        count = np.cumsum(up, dtype=np.int32)
        share_up = (count[self._edge :] - count[:frames]).astype(np.float32)
        share_up *= np.float32(1.0 / self._edge)
        away = np.float32(1.0) - np.minimum(share_up, np.float32(1.0))
        delayed = np.concatenate((self._past, block))
        self._past = delayed[frames:]
        return delayed[:frames], away


class Carrier:
    """Quietens the noise of an empty channel while it is there.

    How deep a dropout is follows the roughness up to 1, at 0 there is none; the noise under the
    carrier is a bed like any other, but no louder than without the carrier.
    """

    def __init__(
        self,
        level_dbfs: float,
        quieting_db: float,
        band_hz: tuple[float, float],
        interruptions: Interruptions,
        key: Key | None,
        rate: float,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        """`level_dbfs`: RMS of the noise without a carrier. `key`: None for a steady carrier."""
        self.latency = key.latency if key else 0
        self._key = key
        self._interruptions = interruptions
        self._depth = conditions.following(lambda roughness, _strength: min(1.0, roughness))
        self._quieting = np.float32(gain_from_db(-quieting_db))
        self._beds = conditions.beds
        self._band = BandLimit(*band_hz, _SLOPE_DB, rate)
        self._gain = np.float32(gain_from_db(level_dbfs) / self._band.noise_rms)
        self._chance = chance
        self._noise = Bed(self._empty_channel)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block of `latency` frames before, as far as its carrier is there, over the noise."""
        frames = len(block)
        away = self._interruptions.read(frame, frames) * self._depth.read(frame, frames)
        if self._key:
            block, keyed = self._key.process(block)
            np.maximum(away, keyed, out=away)
        block *= np.float32(1.0) - away
        noise = silence(frames)
        self._noise.add_to(noise, frame)
        under_carrier = np.minimum(self._quieting * self._beds.read(frame, frames), np.float32(1.0))
        away *= np.float32(1.0) - under_carrier
        away += under_carrier
        noise *= away
        block += noise
        return block

    def _empty_channel(self, frame: int, frames: int) -> Samples:
        noise = self._band.process(self._chance.white(frame, frames), frame)
        noise *= self._gain
        return noise


def _edge_frames(rate: float) -> int:
    return frames_from_seconds(_EDGE_S, rate)
