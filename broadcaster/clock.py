"""Clocks are handed in: whatever needs time takes a Clock, so that tests and rehearsals own it."""

import time
from datetime import UTC, datetime
from typing import Protocol


class Clock(Protocol):
    """What the rooms may ask of time."""

    def seconds(self) -> float:
        """Seconds since some fixed moment; never goes back."""

    def wait(self, seconds: float) -> None:
        """Let that much time pass."""

    def wall(self) -> datetime:
        """The time of day, with its zone."""


class SystemClock:
    """The machine's own clock."""

    def seconds(self) -> float:
        """Seconds of the monotonic clock."""
        return time.monotonic()

    def wait(self, seconds: float) -> None:
        """Sleep."""
        time.sleep(max(0.0, seconds))

    def wall(self) -> datetime:
        """Now, in the machine's own zone."""
        return datetime.now(UTC).astimezone()


class VirtualClock:
    """A clock that moves only when someone waits: rehearsals and tests run on it."""

    def __init__(self, wall: datetime | None = None) -> None:
        self._started = wall or datetime(1958, 11, 3, 20, 0, tzinfo=UTC)
        self._seconds = 0.0

    def seconds(self) -> float:
        """Seconds waited so far."""
        return self._seconds

    def wait(self, seconds: float) -> None:
        """Move on at once."""
        self._seconds += max(0.0, seconds)

    def wall(self) -> datetime:
        """The moment the clock was made, moved on by what was waited."""
        return datetime.fromtimestamp(self._started.timestamp() + self._seconds, tz=UTC)
