"""How much comes through, and when: one fact's gate, and a budget of events.

Nothing here knows of real time: whoever asks tells the moment, in seconds of one clock.
"""

from broadcaster.script.facts import FactState
from broadcaster.script.venue_settings import FactSettings

ROUNDING = 1e-6
"""Sums of seconds are not exact: what lacks no more than this has come."""


class Gate:
    """One fact's way in. It holds one value, the newest, until its moment has come."""

    def __init__(self, settings: FactSettings) -> None:
        self._steady_s = settings.steady_for
        self._hold_s = settings.hold_for
        self._since_s = 0.0
        self._passed: FactState | None = None
        self._changed_s: float | None = None
        self.value: FactState = False
        self.source = ""
        """Who told the value."""
        self.waiting = False
        """Whether there is a value that has not passed."""

    def take(self, value: FactState, source: str, now_s: float) -> None:
        """A value comes in; one that waits is forgotten for it."""
        if not self.waiting or value != self.value:
            self._since_s = now_s
        self.value, self.source, self.waiting = value, source, True

    def forget(self) -> None:
        """A value that waits is not wanted any more."""
        self.waiting = False

    @property
    def due_s(self) -> float:
        """When the waiting value may pass: it was steady, and the one before was held."""
        steady_s = self._since_s + self._steady_s
        if self._changed_s is None or self.value == self._passed:
            return steady_s
        return max(steady_s, self._changed_s + self._hold_s)

    def is_due(self, now_s: float) -> bool:
        """Whether the waiting value may pass."""
        return self.due_s <= now_s + ROUNDING

    def let_pass(self, now_s: float) -> None:
        """The waiting value has passed."""
        self.waiting = False
        if self._changed_s is None or self.value != self._passed:
            self._changed_s = now_s
        self._passed = self.value


class Budget:
    """So many events a second, and some more at once after a quiet while."""

    def __init__(self, a_second: float, at_once: int) -> None:
        self._a_second = a_second
        self._at_once = at_once
        self._left = float(at_once)
        self._asked_s: float | None = None

    def spend(self, now_s: float) -> bool:
        """Take one, if one is left."""
        self._refill(now_s)
        if self._left < 1.0 - ROUNDING:
            return False
        self._left -= 1.0
        return True

    def ready_s(self, now_s: float) -> float:
        """When one will be left."""
        self._refill(now_s)
        return now_s + max(0.0, 1.0 - self._left) / self._a_second

    def _refill(self, now_s: float) -> None:
        passed_s = 0.0 if self._asked_s is None else max(0.0, now_s - self._asked_s)
        self._asked_s = now_s
        self._left = min(float(self._at_once), self._left + passed_s * self._a_second)
