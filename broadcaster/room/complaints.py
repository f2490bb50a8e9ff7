"""What is refused is shown, but whoever sends nonsense all day does not fill the log with it."""

from collections import OrderedDict
from collections.abc import Callable
from dataclasses import dataclass

from broadcaster.room.gate import ROUNDING

EVERY_S = 10.0
"""Of each source one sentence in so long, with a count of those that were left out."""
MOST_SOURCES = 64
"""Sources that are remembered: the one that complained longest ago is forgotten first."""


@dataclass(slots=True)
class _Source:
    said_s: float
    left_out: int = 0
    last: str = ""


class Complaints:
    """Sentences about what came in, rate-limited for each source."""

    def __init__(self, say: Callable[[str], None]) -> None:
        self._say = say
        self._sources: OrderedDict[str, _Source] = OrderedDict()

    def note(self, source: str, sentence: str, now_s: float) -> None:
        """Something was refused: say it, or count it."""
        known = self._sources.get(source)
        if known is None:
            self._sources[source] = _Source(now_s)
            if len(self._sources) > MOST_SOURCES:
                self._sources.popitem(last=False)
            self._say(f"{source}: {sentence}")
            return
        known.left_out += 1
        known.last = sentence
        self.pump(now_s)

    def pump(self, now_s: float) -> None:
        """Say what was left out, as far as it is time to; forget who has been quiet since."""
        for source, known in list(self._sources.items()):
            if now_s < known.said_s + EVERY_S - ROUNDING:
                continue
            del self._sources[source]
            if known.left_out:
                self._sources[source] = _Source(now_s)
                count = "one more was" if known.left_out == 1 else f"{known.left_out} more were"
                self._say(f"{source}: {count} refused in {EVERY_S:.0f} s, the last: {known.last}")

    def due_s(self) -> float | None:
        """When pump() will have something to say; None: it has nothing."""
        dues = [known.said_s + EVERY_S for known in self._sources.values() if known.left_out]
        return min(dues, default=None)
