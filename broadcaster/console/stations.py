"""Several stations as lines: how each stands whenever that changes, and what befell it."""

import json
import signal
import sys
from collections.abc import Callable
from dataclasses import asdict
from typing import Any

from broadcaster.clock import SystemClock
from broadcaster.console.lines import let_nobody_read
from broadcaster.desk.session import stop_in_good_order
from broadcaster.desk.several import Several, wanted_stations
from broadcaster.desk.supervisor import Change, DeskProcess, Supervisor


def air_several(several: Several, *, as_json: bool) -> int:
    """Keep several stations on air until they are over or Ctrl-C comes; the worst exit code.

    Raises BroadcasterError for what cannot go on air together, before any of it does.
    """
    clock = SystemClock()
    wanted = wanted_stations(several, clock.wall())
    signal.signal(signal.SIGTERM, stop_in_good_order)
    if not as_json:
        _write(f"{len(wanted)} stations. Ctrl-C takes them all off air.")
    return Supervisor(wanted, DeskProcess, teller(as_json=as_json), clock).run()


def teller(*, as_json: bool) -> Callable[[Change], None]:
    """Whoever writes each change on a line, in words or as a JSON object."""

    def tell(change: Change) -> None:
        _write(json.dumps(record_of(change), ensure_ascii=False) if as_json else line_of(change))

    return tell


def line_of(change: Change) -> str:
    """A change in words."""
    if change.sentence:
        return f"{change.callsign}: {change.sentence}"
    where = f": {change.segment}" if change.segment else ""
    return f"{change.callsign} {change.state}{where}"


def record_of(change: Change) -> dict[str, Any]:
    """A change as plain values: a `station` that stands otherwise, or a `trouble`."""
    return {"event": "trouble" if change.sentence else "station", **asdict(change)}


def _write(line: str) -> None:
    """Where nobody reads any more, the stations go on."""
    try:
        sys.stdout.write(f"{line}\n")
        sys.stdout.flush()
    except BrokenPipeError:
        let_nobody_read()
