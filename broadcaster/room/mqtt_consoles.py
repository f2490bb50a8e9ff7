"""Consoles on other machines: each that asks is told how things stand, and then all that happens.

What it is told comes in numbered packages, as JSON: `{"number": 1, "standing": [...]}` and then
`{"number": 2, "events": [...]}`, each event a record as in the log. A console that misses a number
asks anew. One that asks no more is forgotten.
"""

import json
import math
from collections.abc import Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from broadcaster.record.reading import event_of_record
from broadcaster.story.events import OutEvent, OutputState, as_record
from broadcaster.story.standing import Standing

MOST_CONSOLES = 8
"""That one station tells at once."""
ASK_S = 3.0
"""How often a console asks."""
FORGOTTEN_S = 12.0
"""After so long without a question a console is gone."""
MOST_UNTOLD = 2000
"""Events that wait to be told to a console; beyond them it is told anew how things stand."""


@dataclass(slots=True)
class _Console:
    asked_s: float
    anew: bool = True
    told: int = 0
    untold: list[OutEvent] = field(default_factory=list)


class Consoles:
    """Those that ask."""

    def __init__(self, standing: Standing) -> None:
        self._standing = standing
        self._consoles: dict[str, _Console] = {}

    def ask(self, name: str, *, anew: bool, now_s: float) -> bool:
        """A console asks; False: there are too many."""
        self._forget(now_s)
        console = self._consoles.get(name)
        if console is None:
            if len(self._consoles) >= MOST_CONSOLES:
                return False
            console = self._consoles[name] = _Console(now_s)
        console.asked_s = now_s
        console.anew |= anew
        return True

    def knows(self, name: str) -> bool:
        """Whether a console of that name asks."""
        return name in self._consoles

    def tell(self, event: OutEvent) -> None:
        """Something happened on air."""
        for console in self._consoles.values():
            console.untold.append(event)
            if len(console.untold) > MOST_UNTOLD:
                console.untold.clear()
                console.anew = True

    def take(self, now_s: float) -> Iterator[tuple[str, str]]:
        """What is to be told: a console's name, and a package."""
        self._forget(now_s)
        for name, console in list(self._consoles.items()):
            if console.anew:
                console.anew = False
                console.told = 1
                console.untold.clear()  # all of them are part of how things stand
                yield name, _package(1, "standing", self._standing.events())
            if console.untold:
                console.told += 1
                untold, console.untold = console.untold, []
                yield name, _package(console.told, "events", untold)

    def forget_all(self) -> None:
        """The line is gone; whoever is still there asks again."""
        self._consoles.clear()

    def _forget(self, now_s: float) -> None:
        for name, console in list(self._consoles.items()):
            if now_s - console.asked_s > FORGOTTEN_S:
                del self._consoles[name]


def _package(number: int, key: str, events: list[OutEvent]) -> str:
    records = [_record(event) for event in events]
    return json.dumps({"number": number, key: records}, ensure_ascii=False, allow_nan=False)


def _record(event: OutEvent) -> dict[str, Any]:
    """As in the log, but for the level of silence, for which JSON has no number: it is left out."""
    record = as_record(event)
    if isinstance(event, OutputState):
        return {key: value for key, value in record.items() if value != -math.inf}
    return record


def events_in(package: Mapping[str, Any]) -> tuple[int, bool, list[OutEvent]]:
    """A package: its number, whether it tells how things stand, and its events.

    Raises ValueError, TypeError or KeyError if it is none.
    """
    standing = "standing" in package
    records = package["standing" if standing else "events"]
    silent = dict.fromkeys(("peak_dbfs", "rms_dbfs"), -math.inf)
    events = [
        event_of_record({**silent, **record} if record["event"] == "output state" else record)
        for record in records
    ]
    return int(package["number"]), standing, [event for event in events if event]
