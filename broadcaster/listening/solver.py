"""How rough a sound may be for an item to stay as readable as its writer wants it.

The inverse of readability: roughness is turned until the item is just as readable as asked. Since
more roughness is never more readable, halving the way finds it; a straight line between the last
two tries finds it sooner.
"""

from collections.abc import Callable
from dataclasses import dataclass
from itertools import count

from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Listener, Way, shared_out
from broadcaster.listening.readability import EXCELLENT, Judge, Readability
from broadcaster.period.conditions import AS_WRITTEN, ROUGHEST, STRONGEST
from broadcaster.units import Samples

TOLERANCE = 0.05
"""Of a grade: close enough."""
ACCURACY = 0.25
"""Of a grade: so far, at most, may an item's mean at other moments be from what was found. Measured
with the shipped sounds, four seeds: 0.21."""
_PATIENT_TRIES = 4
_USUAL_SLOPE, _LEAST_SLOPE = -3.5, -0.3
"""Grades for each step of roughness, measured with the shipped sounds: where to look first."""
_STEP = 1.0 / 256.0
"""Roughness is found in steps of so much: 0.16 dB of the beds."""
_STEPS = round(ROUGHEST / _STEP)
_MOMENTS, _MANY_MOMENTS = 16, 48
"""At how many moments a stretch of an item is heard. With 16, it is solved in about a second."""


@dataclass(frozen=True, slots=True)
class Solution:
    """How rough a sound is to be for an item."""

    roughness: float
    """From 0, the gentlest, to 2; 1 is as the sound's table is written."""
    readability: float
    """The mean grade that it gives, 1 to 5."""
    reason: str = ""
    """Why it is not what was asked for, in a sentence; empty if it is."""


def readability_of(
    item: Samples,
    way: Way,
    copied: Copied,
    *,
    roughness: float = AS_WRITTEN,
    strength: float = STRONGEST,
    quick: bool = False,
) -> Readability:
    """How readable an item is, by 48 moments of reception; by 16, if it is to be `quick`.

    `item`: dry, shape (frames,). Raises ValueError for one that is silent.
    """
    stretches = shared_out(item, _MOMENTS if quick else _MANY_MOMENTS)
    return Judge(stretches, copied).rate(Listener(stretches, way).hear(roughness, strength))


def roughness_for(wanted: float, item: Samples, way: Way, copied: Copied) -> Solution:
    """The roughness at which an item is just as readable as `wanted`, 1 to 5.

    What is met is the mean over moments of reception, each of which hears another part of the item.
    At full strength: a weaker signal makes it less readable, as its writer wants.
    """
    if not item.any():
        return Solution(AS_WRITTEN, EXCELLENT, "There is nothing to hear in it.")
    stretches = shared_out(item, _MOMENTS)
    judge, listener = Judge(stretches, copied), Listener(stretches, way)
    tries: dict[float, Readability] = {}

    def excess(roughness: float) -> float:
        tries[roughness] = judge.rate(listener.hear(roughness, STRONGEST))
        return tries[roughness].unbounded - wanted

    roughness = _root(excess)
    found = tries[roughness]
    return Solution(roughness, round(found.mean, 2), _reason(roughness, found, wanted))


def _root(excess: Callable[[float], float]) -> float:
    """Where a falling function of roughness is 0 within TOLERANCE, else the end that is nearest.

    Follows the line through the last two tries; where that leads nowhere, halves what is left.
    """
    low, high = -1, _STEPS + 1  # in steps; the root lies between
    here, slope = round(AS_WRITTEN / _STEP), _USUAL_SLOPE
    was = before = 0.0
    for number in count():
        roughness = here * _STEP
        left = excess(roughness)
        low, high = (here, high) if left > 0.0 else (low, here)
        if abs(left) <= TOLERANCE or high - low < 2:
            break
        if number:
            slope = min((left - before) / (roughness - was), _LEAST_SLOPE)
        was, before = roughness, left
        ahead = min(max(round((roughness - left / slope) / _STEP), 0), _STEPS)
        led = low < ahead < high and number < _PATIENT_TRIES
        here = ahead if led else (low + high) // 2
    return roughness


def _reason(roughness: float, found: Readability, wanted: float) -> str:
    beyond = found.unbounded - wanted
    if roughness == 0.0 and beyond < -TOLERANCE:
        return f"At its gentlest the sound is no more readable than {found.mean:.1f}."
    if roughness == ROUGHEST and beyond > TOLERANCE:
        return f"At its roughest the sound is still as readable as {found.mean:.1f}."
    if abs(beyond) > TOLERANCE:
        return f"From one step of roughness to the next, readability goes past {wanted:g}."
    return ""
