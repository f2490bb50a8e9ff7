"""Conditions of reception: two dials that are turned while the stream goes on.

**Roughness** says how much of its sound the listener gets: 0 the gentlest, 1 as the table is
written, 2 the roughest. **Strength** is the S of the SINPO code (Rec. ITU-R SM.1135): 5 as the
table is written, 0 noise alone. The receiver's automatic gain holds the total: what the programme
loses, noise takes.

A dial glides. What a processor makes of the dials (a gain, a depth) is worked out at every CELL-th
frame of the stream and is straight between, so that any cutting into blocks gives the same bits.
"""

import math
from collections.abc import Callable

import numpy as np
from numpy.typing import NDArray

from broadcaster.units import Samples, gain_from_db

CELL = 64
"""Frames of the stream from one point at which the dials are read to the next."""
_RAMP = np.arange(CELL, dtype=np.float32) / np.float32(CELL)

AS_WRITTEN = 1.0
"""The roughness at which a sound is as its table says."""
ROUGHEST = 2.0
STRONGEST = 5.0
"""The strength at which a sound is as its table says."""
BED_DB = 40.0
"""By how much a step of roughness raises all beds. Chosen by ear."""
_STRENGTHS = np.arange(6.0)
_EMPTY_CHANNEL = (1.0, *(gain_from_db(level) for level in (-2.0, -6.0, -12.0, -20.0)), 0.0)
"""The noise of an empty channel in the total, at the strengths 0 to 5: chosen by ear."""

Mapping = Callable[[float, float], float]
"""What a processor makes of roughness and strength."""


class Dial:
    """A value that is turned from a frame on, and gets to where it is turned in a straight line."""

    def __init__(self, value: float, lowest: float, highest: float) -> None:
        self._lowest, self._highest = lowest, highest
        self._knots = [(0, self._within(value))]

    @property
    def still_from(self) -> int:
        """The frame from which on the dial no longer moves."""
        return self._knots[-1][0]

    def turn(self, frame: int, value: float, glide_frames: int) -> None:
        """Move to a value, held within the dial's ends, from `frame` on and in so many frames.

        Both are rounded up to whole CELLs, one at least. What the dial was turned to for later
        frames is forgotten.
        """
        begin = -(-frame // CELL) * CELL
        end = begin + max(1, -(-glide_frames // CELL)) * CELL
        before = [knot for knot in self._knots if knot[0] < begin]
        self._knots = [*before, (begin, self.at(begin)), (end, self._within(value))]

    def at(self, frame: int) -> float:
        """Where the dial stands at a frame."""
        last_frame, last = self._knots[0]
        for next_frame, value in self._knots:
            if frame < next_frame:
                passed = (frame - last_frame) / (next_frame - last_frame) if last != value else 0.0
                return last + passed * (value - last)
            last_frame, last = next_frame, value
        return last

    def forget_before(self, frame: int) -> None:
        """Let go of what was before a frame; nobody asks for it again."""
        while len(self._knots) > 1 and self._knots[1][0] <= frame:
            del self._knots[0]

    def _within(self, value: float) -> float:
        return min(max(value, self._lowest), self._highest)


class Follower:
    """A quantity that follows the dials: a gain, a depth, a drive."""

    def __init__(self, conditions: "Conditions", mapping: Mapping) -> None:
        self._conditions = conditions
        self._mapping = mapping
        self._settled = np.float32(0.0)
        self._settled_turns = -1

    def read(self, frame: int, frames: int) -> np.float32 | Samples:
        """One number while the dials stand still, else one for each frame, shape (frames,).

        Multiplying by either gives the same bits. The array may be written to.
        """
        conditions = self._conditions
        if frame >= conditions.still_from:
            if self._settled_turns != conditions.turns:
                self._settled = np.float32(self._at(conditions.still_from))
                self._settled_turns = conditions.turns
            return self._settled
        first = frame - frame % CELL
        points = self.points(first, -(-(frame + frames - first) // CELL) + 1, CELL)
        rise = np.diff(points)
        straight: Samples = (points[:-1, None] + rise[:, None] * _RAMP).ravel()
        return straight[frame - first : frame - first + frames]

    def points(self, frame: int, count: int, step: int) -> NDArray[np.float32]:
        """The quantity at `frame` and at every step-th frame from there, shape (count,)."""
        places = range(frame, frame + count * step, step)
        return np.array([self._at(place) for place in places], np.float32)

    def _at(self, frame: int) -> float:
        return self._mapping(
            self._conditions.roughness.at(frame), self._conditions.strength.at(frame)
        )


class Conditions:
    """The two dials of one reception, counted in frames of the stream that its processors see."""

    def __init__(
        self,
        roughness: float = AS_WRITTEN,
        strength: float = STRONGEST,
        *,
        bed_to_programme: float = 0.0,
    ) -> None:
        """`bed_to_programme`: the nominal power of all beds against that of the programme, as the
        table is written; from it the automatic gain knows what to hold.
        """
        self.roughness = Dial(roughness, 0.0, ROUGHEST)
        self.strength = Dial(strength, 0.0, STRONGEST)
        self.turns = 0
        """How often the dials have been turned."""
        self.still_from = 0
        """The frame from which on no dial moves any more."""
        self._bed_to_programme = bed_to_programme
        self.programme = self.following(self._programme_gain)
        """The gain of what is sent, where it meets the first noise."""
        self.beds = self.following(self._bed_gain)
        """The gain of whatever is heard although nobody sent it: hiss, static, other stations."""
        self.empty_channel = self.following(self._empty_channel_gain)
        """The level of an empty channel's noise, against that of the programme at full strength."""

    def following(self, mapping: Mapping) -> Follower:
        """Something that follows the dials: `mapping(roughness, strength)` at every CELL."""
        return Follower(self, mapping)

    def turn(
        self,
        frame: int,
        glide_frames: int,
        *,
        roughness: float | None = None,
        strength: float | None = None,
    ) -> None:
        """Turn one dial or both from `frame` on, which must not have gone through yet."""
        for dial, value in ((self.roughness, roughness), (self.strength, strength)):
            if value is not None:
                dial.turn(frame, value, glide_frames)
        self.still_from = max(self.roughness.still_from, self.strength.still_from)
        self.turns += 1

    def forget_before(self, frame: int) -> None:
        """Let go of what the dials were before a frame."""
        self.roughness.forget_before(frame)
        self.strength.forget_before(frame)

    def _automatic_gain(self, roughness: float) -> float:
        noisier = gain_from_db(BED_DB * (roughness - AS_WRITTEN)) ** 2
        ratio = self._bed_to_programme
        return math.sqrt((1.0 + ratio) / (1.0 + ratio * noisier))

    def _programme_gain(self, roughness: float, strength: float) -> float:
        lost = np.interp(strength, _STRENGTHS, _EMPTY_CHANNEL)
        return self._automatic_gain(roughness) * math.sqrt(1.0 - float(lost) ** 2)

    def _bed_gain(self, roughness: float, _strength: float) -> float:
        return self._automatic_gain(roughness) * gain_from_db(BED_DB * (roughness - AS_WRITTEN))

    def _empty_channel_gain(self, roughness: float, strength: float) -> float:
        level = np.interp(strength, _STRENGTHS, _EMPTY_CHANNEL)
        return self._automatic_gain(roughness) * float(level)
