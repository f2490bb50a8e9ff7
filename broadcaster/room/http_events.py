"""What happens on air as server-sent events (WHATWG HTML, 9.2): as it happens, and what was missed.

Two kinds of them: `as-run`, each a record of the log, numbered; and `status`, how things stand, now
and whenever that changes. A caller that comes back with the last number (Last-Event-ID) gets what
it missed, as long as that is kept; a `status` comes after it.
"""

import asyncio
import json
import secrets
from collections import deque
from collections.abc import AsyncIterator, Callable
from typing import Any

from broadcaster.clock import Clock
from broadcaster.record.asrun import record_line
from broadcaster.story.events import OutEvent, OutputState

KEPT = 2000
"""Records that are kept for those who come back: hours of them."""
STATUS_S, OUTPUT_S = 0.1, 1.0
"""The least time between two `status`, and between two where only the output's state is news."""
SILENCE_S = 10.0
"""After so long without an event a caller is told that the line still stands."""
LONGEST_S = 900.0
"""How long one answer goes on. Callers come back by themselves and miss nothing; whoever is gone
for good without a word is noticed by then."""


class EventLine:
    """The line on which all callers listen. It waits for none of them, and queues for none."""

    def __init__(
        self, status: Callable[[], dict[str, Any]], clock: Clock, longest_s: float = LONGEST_S
    ) -> None:
        """`status`: how things stand, as a record."""
        self._status = status
        self._clock = clock
        self._longest_s = longest_s
        self._name = secrets.token_hex(4)
        self._records: deque[str] = deque(maxlen=KEPT)
        self._told = 0
        self._changed_s: float | None = None
        self._output_s: float | None = None
        self._news = asyncio.Event()
        self._closed = False

    def tell(self, event: OutEvent) -> None:
        """Something happened on air."""
        now_s = self._clock.seconds()
        if isinstance(event, OutputState):
            if self._output_s is not None and now_s - self._output_s < OUTPUT_S:
                return
            self._output_s = now_s
        line = record_line(event)
        if line is not None:
            self._told += 1
            self._records.append(line)
        self._changed_s = now_s
        self._wake()

    def open(self) -> None:
        """Callers can come."""
        self._closed = False

    def close(self) -> None:
        """End every caller's answer."""
        self._closed = True
        self._wake()

    def _wake(self) -> None:
        news, self._news = self._news, asyncio.Event()
        news.set()

    async def listen(self, last_id: str | None = None) -> AsyncIterator[str]:
        """The events as a caller gets them, from the one after `last_id`, or all that are kept."""
        began_s = self._clock.seconds()
        heard = self._after(last_id)
        shown_s: float | None = -1.0  # what no clock says: the first status is always news
        yield "retry: 1000\n\n"
        while not self._closed and self._clock.seconds() - began_s < self._longest_s:
            news, changed_s = self._news, self._changed_s
            missed, heard = self._since(heard)
            said = "".join(missed)
            if changed_s != shown_s:
                shown_s = changed_s
                said += self._status_event()
            if said:
                yield said
            left_s = self._longest_s - (self._clock.seconds() - began_s)
            if not await _set_within(news, min(SILENCE_S, left_s)):
                yield ":\n\n"
            await asyncio.sleep(STATUS_S)  # what comes in a burst is told together

    def _after(self, last_id: str | None) -> int:
        """How many records a caller has heard. A number of another desk's line tells nothing."""
        name, _, number = (last_id or "").partition("-")
        known = name == self._name and number.isascii() and number.isdigit() and len(number) < 16
        return min(int(number), self._told) if known else 0

    def _since(self, heard: int) -> tuple[list[str], int]:
        """The events after those that were heard, as far as they are kept; how many there are."""
        first = self._told - len(self._records)
        lines = list(self._records)[max(0, heard - first) :]
        numbers = range(self._told - len(lines) + 1, self._told + 1)
        told = [
            f"id: {self._name}-{number}\nevent: as-run\ndata: {line}\n\n"
            for number, line in zip(numbers, lines, strict=True)
        ]
        return told, self._told

    def _status_event(self) -> str:
        return f"event: status\ndata: {json.dumps(self._status(), ensure_ascii=False)}\n\n"


async def _set_within(news: asyncio.Event, seconds: float) -> bool:
    try:
        await asyncio.wait_for(news.wait(), max(0.0, seconds))
    except TimeoutError:
        return False
    return True
