"""How rough the period sound is for each item, from the one before it on."""

from broadcaster.air.items import Made
from broadcaster.period.conditions import AS_WRITTEN
from broadcaster.story.cue import Cue


class Roughness:
    """Follows a broadcast, item by item.

    What was worked out for an item counts. What nothing was worked out for, an announcement or a
    tune, has what the last item had that was to be about as readable; tones are no rougher than
    that. Where no readability is wanted, the sound is as its table says.
    """

    def __init__(self) -> None:
        self._latest: dict[float, float] = {}
        """For each readability that was worked out for an item, the latest roughness."""

    def of(self, cue: Cue, made: Made) -> float | None:
        """The roughness from the item's first frame on; None: it stays as it was."""
        if not cue.item.sounds:
            return None
        if made.roughness is None:
            return self._nearest(cue.readability)
        if cue.follows_speech:
            return min(made.roughness, self._nearest(cue.readability))
        if cue.readability is not None:
            self._latest[cue.readability] = made.roughness
        return made.roughness

    def _nearest(self, readability: float | None) -> float:
        if readability is None or not self._latest:
            return AS_WRITTEN
        return self._latest[min(self._latest, key=lambda known: abs(known - readability))]
