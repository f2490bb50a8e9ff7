"""Beds: what is heard whether or not anyone speaks. Each is added to the broadcast."""

import math
from collections.abc import Callable, Sequence

import numpy as np

from broadcaster.period.bands import BandLimit
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions, Follower
from broadcaster.period.oscillator import CYCLE, Tone, looked_up
from broadcaster.units import Samples, frames_from_seconds, gain_from_db, silence

_PIECE = 8192
"""Frames of a bed that are made at once, at least: small blocks then cost little."""


class Bed:
    """A sound made ahead in pieces and added to the blocks as they come."""

    def __init__(self, make: Callable[[int, int], Samples], gain: Follower | None = None) -> None:
        """`make(frame, frames)`: the next frames; must not depend on how they are cut.

        `gain`: what the bed's level follows, if it follows anything.
        """
        self._make = make
        self._gain = gain
        self._ahead = silence(0)

    def add_to(self, block: Samples, frame: int) -> None:
        """Lay the bed under a block, shape (frames,), that begins at `frame`, in place."""
        bed = self._next(frame, len(block))
        block += bed if self._gain is None else bed * self._gain.read(frame, len(block))

    def _next(self, frame: int, frames: int) -> Samples:
        ready = len(self._ahead)
        if ready < frames:
            piece = self._make(frame + ready, max(frames - ready, _PIECE))
            self._ahead = np.concatenate([self._ahead, piece]) if ready else piece
        bed, self._ahead = self._ahead[:frames], self._ahead[frames:]
        return bed


class Hiss:
    """Band-limited Gaussian noise; level_dbfs is its RMS against full scale."""

    latency = 0

    def __init__(
        self,
        level_dbfs: float,
        band_hz: tuple[float, float],
        slope_db: float,
        tilt_db: float,
        rate: float,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        """`tilt_db`: its colour, as a rise in dB an octave; see BandLimit."""
        self._band = BandLimit(*band_hz, slope_db, rate, tilt_db)
        self._gain = np.float32(gain_from_db(level_dbfs) / self._band.noise_rms)
        self._chance = chance
        self._bed = Bed(self._noise, conditions.beds)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block over its hiss."""
        self._bed.add_to(block, frame)
        return block

    def _noise(self, frame: int, frames: int) -> Samples:
        noise = self._band.process(self._chance.white(frame, frames), frame)
        noise *= self._gain
        return noise


class Crackle:
    """Clicks at the moments of a Poisson process, each a pulse through a band.

    level_dbfs: the peak of the middle click. Levels are spread normally, by 6 dB; either sign is
    as likely. Length of a click and spread are chosen by ear.
    """

    latency = 0
    _CLICK_S = 0.02
    _SPREAD_DB = 6.0

    def __init__(
        self,
        level_dbfs: float,
        interval_s: float,
        band_hz: tuple[float, float],
        rate: float,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        pulse = silence(frames_from_seconds(self._CLICK_S, rate))
        pulse[0] = 1.0
        click = BandLimit(*band_hz, 12.0, rate).process(pulse, 0)
        click *= 0.5 + 0.5 * np.cos(np.linspace(0.0, math.pi, len(click), dtype=np.float32))
        self._click = click / np.abs(click).max()
        self._level_dbfs = level_dbfs
        self._interval_frames = interval_s * rate
        self._chance = chance
        self._bed = Bed(self._clicks, conditions.beds)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block under its clicks."""
        self._bed.add_to(block, frame)
        return block

    def _clicks(self, frame: int, frames: int) -> Samples:
        """All clicks that reach into these frames, in the order in which they began."""
        tail = len(self._click) - 1
        if self._chance.loop is None:
            tail = min(tail, frame)
        moments, marks = self._chance.impulses(frame - tail, tail + frames, self._interval_frames)
        out = silence(tail + frames + len(self._click))
        for moment, (spread, side) in zip(moments.tolist(), marks.tolist(), strict=True):
            peak = math.copysign(gain_from_db(self._level_dbfs + self._SPREAD_DB * spread), side)
            out[moment : moment + len(self._click)] += self._click * np.float32(peak)
        return out[tail : tail + frames]


class Hum:
    """The mains and its harmonics, in step with the absolute frame for as long as it is on air.

    One cycle of it is a table, which errs by -68 dB of the hum at most.
    """

    latency = 0

    def __init__(
        self,
        level_dbfs: float,
        mains_hz: float,
        harmonics_db: Sequence[float],
        rate: float,
        loop: int | None = None,
    ) -> None:
        """`level_dbfs`: RMS of all lines together. `harmonics_db`: twice the mains, three times...

        In a loop the mains gives way a little, so that the loop holds whole cycles.
        """
        self._tone = Tone(mains_hz, rate, loop)
        cycle = sum(
            gain_from_db(level_db) * np.sin(2.0 * math.pi * line * CYCLE)
            for line, level_db in enumerate((0.0, *harmonics_db), start=1)
        )
        cycle *= gain_from_db(level_dbfs) / np.sqrt(np.square(cycle).mean())
        self._cycle = cycle.astype(np.float32)
        self._bed = Bed(self._hum)

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block over its hum."""
        self._bed.add_to(block, frame)
        return block

    def _hum(self, frame: int, frames: int) -> Samples:
        return looked_up(self._cycle, self._tone.phase(frame, frames))
