"""How rough the period sound is to be for an item: worked out in the worker, ahead of air."""

from functools import cached_property
from pathlib import Path

from broadcaster.air.items import Made
from broadcaster.listening.copied import copied_by
from broadcaster.listening.hearing import Way
from broadcaster.listening.solved import SolvedCache
from broadcaster.script.programme import Item
from broadcaster.script.sounds import Sound
from broadcaster.transmitter.making_up import make_up_db
from broadcaster.units import Samples

_SEED = 0
"""Of the reception in which an item is tried. A broadcast has another; what is found is the mean
over many moments, and holds for any."""


class Solving:
    """Makes items as readable as they are to be, in one sound."""

    def __init__(self, sound: Sound, folder: Path | None) -> None:
        """`folder`: where solutions are kept; None: nowhere."""
        self._sound = sound
        self._known = SolvedCache(folder)

    @property
    def trouble(self) -> str:
        """What it does without, in a sentence."""
        return self._known.trouble or ""

    def made(self, item: Item, samples: Samples, readability: float) -> Made:
        """The item with the roughness at which it is so readable, if it can be heard at all."""
        copied = copied_by(item)
        if copied is None or not samples.any():
            return Made(samples)
        solution = self._known.roughness_for(readability, samples, self._way, copied)
        return Made(samples, solution.roughness, solution.readability)

    @cached_property
    def _way(self) -> Way:
        return Way(self._sound, _SEED, make_up_db(self._sound))
