"""From a command to a broadcast: station, script, log and whoever watches, put together.

The station takes longest to get ready, so it is started first. Until then this process imports
nothing that takes time: rooms that do are imported where they are needed.
"""

import hashlib
import signal
import sys
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from broadcaster.air.orders import Orders, safe_name
from broadcaster.air.precedence import go_before_others
from broadcaster.clock import Clock, SystemClock
from broadcaster.desk.link import StationLink
from broadcaster.desk.places import (
    cache_folder,
    log_file,
    remember_log,
    remembered_log,
    settings_file,
)
from broadcaster.errors import StationError, UsageError
from broadcaster.record.asrun import AsRunLog

if TYPE_CHECKING:
    from broadcaster.desk.agenda import Agenda
    from broadcaster.desk.airing import Airing
    from broadcaster.room.room import Room
    from broadcaster.script.programme import Programme
    from broadcaster.script.venue_settings import VenueSettings

Watch: TypeAlias = "Callable[[Programme, Airing, Clock], None]"
"""Whoever follows a broadcast, and returns when it is over or when it should be."""


@dataclass(frozen=True, slots=True)
class Wishes:
    """What was asked for on the command line."""

    script: str
    output: str
    start: bool
    length_s: float | None
    seed: int
    cache: str | None
    log: str | None
    events: str | None = None
    """An events file, whose times count from the session that starts at once."""
    monitor: str | None = None
    """The operator's headphones: the output on which an announcement is heard beforehand."""
    settings: str | None = None
    """The venue's settings, if not those that lie where places.settings_file() looks."""


def put_on_air(wishes: Wishes, watch: Watch) -> Path:
    """Air a script until it is over, or until whoever watches has had enough; where its log is.

    A station of the same script and output that is still on air (its desk died) is met again, not
    started anew. Raises BroadcasterError if the broadcast cannot begin, or did not end well.
    """
    go_before_others()
    clock = SystemClock()
    meeting_name = _meeting_name(wishes)
    link = StationLink(meeting_name)
    attached = link.attach(_tell_of_waiting)
    if not attached:
        link.start()  # it gets ready while the rest is loaded and the script is read
    try:
        from broadcaster.desk.airing import Airing

        orders = _orders(wishes)
        settings = _settings(wishes, orders.programme)
        name = safe_name(orders.programme.station.callsign)
        path = log_file(wishes.log, name, clock.wall())
        if attached and not wishes.log:
            path = remembered_log(meeting_name) or path
        log = AsRunLog(path)
        remember_log(meeting_name, path)
        if not attached:
            link.give(orders)
    except BaseException:
        if not attached:
            link.abandon()
        raise
    airing = Airing(link, orders, log, clock)
    if wishes.monitor:
        from broadcaster.desk.monitor import Monitor

        airing.monitor = Monitor(wishes.monitor, orders.programme, orders.cache_folder)
    signal.signal(signal.SIGTERM, stop_in_good_order)
    room = _open_room(settings, orders.programme, airing, clock) if settings else None
    try:
        with suppress(KeyboardInterrupt):
            watch(orders.programme, airing, clock)
        airing.close()
    finally:
        if airing.monitor:
            airing.monitor.stop()
        if room:
            room.close()
        log.close()
    if airing.trouble:
        raise StationError(airing.trouble)
    return log.path


def _tell_of_waiting() -> None:
    sys.stderr.write(
        "Another console has this station; this one waits until that is closed (Ctrl-C: give up).\n"
    )


def _orders(wishes: Wishes) -> Orders:
    from broadcaster.desk.faultless import faultless_programme
    from broadcaster.units import frames_from_seconds

    length = None if wishes.length_s is None else frames_from_seconds(wishes.length_s)
    programme = faultless_programme(wishes.script)
    return Orders(
        programme=programme,
        output=wishes.output,
        seed=wishes.seed,
        length=length,
        cache_folder=cache_folder(wishes.cache),
        agenda=_agenda(wishes, programme),
    )


def _settings(wishes: Wishes, programme: "Programme") -> "VenueSettings | None":
    """The venue's settings, if there are any; else nothing of them is loaded."""
    path = settings_file(wishes.settings, wishes.script)
    if path is None:
        return None
    from broadcaster.script.venue_settings import read_settings

    return read_settings(path, programme)


def _open_room(
    settings: "VenueSettings", programme: "Programme", airing: "Airing", clock: Clock
) -> "Room":
    """Open what the settings name. Its libraries are loaded once the station is on air."""
    from broadcaster.room.room import Room

    room = Room(settings, programme, airing, clock)
    airing.listen(room.hear)
    room.start()
    return room


def _agenda(wishes: Wishes, programme: "Programme") -> "Agenda":
    from broadcaster.desk.agenda import agenda_of

    if wishes.start:
        return agenda_of(wishes.events, programme)
    if wishes.events:
        raise UsageError("--events needs --start: its times count from the session's beginning.")
    return ()


def _meeting_name(wishes: Wishes) -> str:
    """The same command finds the same station."""
    script = Path(wishes.script)
    told = f"{script.resolve()} {wishes.output}"
    return f"{safe_name(script.stem)}-{hashlib.sha256(told.encode()).hexdigest()[:12]}"


def stop_in_good_order(signal_number: int, frame: object) -> None:
    """The system asks for an end: go off air in good order, as for Ctrl-C."""
    del signal_number, frame
    raise KeyboardInterrupt
