"""Transitions: what is heard where one segment gives way to another.

Each lies over the programme at the entrance of reception: the period's bands, fading and bends
colour it as they do the programme. All levels, pitches and times here are chosen by ear.
"""

import math
from collections.abc import Callable, Mapping
from dataclasses import dataclass
from types import MappingProxyType

import numpy as np
from numpy.typing import NDArray

from broadcaster.period.bands import BandLimit
from broadcaster.period.chance import Chance
from broadcaster.period.lengths import whole_frames_of
from broadcaster.script.reception import Transition
from broadcaster.units import RATE, Samples, gain_from_db, seconds_from_frames

_EDGE_S = 0.03
_STATIC_BAND_HZ = (300.0, 4000.0)
_CHANNEL_BAND_HZ = (150.0, 5000.0)
_STATIC_DBFS = -14.0
_CHANNEL_DBFS = -16.0
_WHISTLE_DBFS = -18.0
_DUCKED = gain_from_db(-20.0)


@dataclass(frozen=True, slots=True)
class Passage:
    """One transition at its place: a gain for the programme, and what is added to it."""

    start: int
    programme_gain: Samples
    added: Samples

    @property
    def stop(self) -> int:
        """The first frame after it."""
        return self.start + len(self.added)

    def lay_over(self, block: Samples, frame: int) -> None:
        """Change a block that begins at `frame`, in place, where the transition lies over it."""
        first, last = max(frame, self.start), min(frame + len(block), self.stop)
        if first < last:
            passing = block[first - frame : last - frame]
            passing *= self.programme_gain[first - self.start : last - self.start]
            passing += self.added[first - self.start : last - self.start]


def passage_of(kind: Transition, start: int, chance: Chance) -> Passage:
    """A transition from frame `start` on; the same chance and frame give the same samples."""
    gain, added = _MAKERS[kind](whole_frames_of(kind), start, chance)
    return Passage(start, gain.astype(np.float32), added.astype(np.float32))


Made = tuple[NDArray[np.float64], NDArray[np.float64]]
"""The programme's gain and what is added to it."""


def _cut(frames: int, _start: int, _chance: Chance) -> Made:
    return np.ones(frames), np.zeros(frames)


def _static_burst(frames: int, start: int, chance: Chance) -> Made:
    presence = _presence(frames, _EDGE_S, _EDGE_S)
    static = _noise(_STATIC_BAND_HZ, _STATIC_DBFS, start, frames, chance)
    return 1.0 - (1.0 - _DUCKED) * presence, presence * static


def _fade(frames: int, _start: int, _chance: Chance) -> Made:
    """Out for one half, in for the other: the square of a cosine, nothing added."""
    half_s = seconds_from_frames(frames) / 2.0
    return 1.0 - _presence(frames, half_s, half_s), np.zeros(frames)


def _retune_sweep(frames: int, start: int, chance: Chance) -> Made:
    """The noise between stations, and a carrier on the way whose whistle falls and rises again."""
    presence = _presence(frames, 0.08, 0.15)
    added = _noise(_CHANNEL_BAND_HZ, _CHANNEL_DBFS, start, frames, chance)
    where, how_far = chance.part("carrier").white(start, 2).tolist()
    passed = (np.arange(frames) + 0.5) / frames - (0.5 + 0.08 * math.tanh(where))
    offset_hz = passed * 9000.0 * 2.0 ** (0.4 * math.tanh(how_far))
    whistle = np.sin(np.cumsum(offset_hz) * (2.0 * math.pi / RATE))
    nearness = np.exp(-0.5 * np.square(offset_hz / 2200.0))
    added += whistle * nearness * (math.sqrt(2.0) * gain_from_db(_WHISTLE_DBFS))
    return 1.0 - presence, presence * added


def _carrier_drop(frames: int, start: int, chance: Chance) -> Made:
    """The carrier goes: the receiver's gain runs up to an empty channel; it returns at once."""
    gone = _presence(frames, _EDGE_S, _EDGE_S)
    run_up = 1.0 - np.exp(np.arange(frames) * (-1.0 / (0.15 * RATE)))
    noise = _noise(_CHANNEL_BAND_HZ, _CHANNEL_DBFS, start, frames, chance)
    return 1.0 - gone, gone * run_up * noise


_MAKERS: Mapping[Transition, Callable[[int, int, Chance], Made]] = MappingProxyType(
    {
        "cut": _cut,
        "static burst": _static_burst,
        "fade": _fade,
        "retune sweep": _retune_sweep,
        "carrier drop": _carrier_drop,
    }
)


def _presence(frames: int, rise_s: float, fall_s: float) -> NDArray[np.float64]:
    """From 0 to 1 and back, with edges of raised cosines."""
    place = np.arange(frames) + 0.5
    edge = np.minimum(place / (rise_s * RATE), (frames - place) / (fall_s * RATE))
    presence: NDArray[np.float64] = 0.5 - 0.5 * np.cos(math.pi * np.minimum(edge, 1.0))
    return presence


def _noise(
    band_hz: tuple[float, float], level_dbfs: float, start: int, frames: int, chance: Chance
) -> NDArray[np.float64]:
    band = BandLimit(*band_hz, 12.0, RATE)
    noise = band.process(chance.white(start, frames), start)
    return noise.astype(np.float64) * (gain_from_db(level_dbfs) / band.noise_rms)
