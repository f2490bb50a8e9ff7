"""The command `venue`: all stations on a broker, and the operator's console of any of them."""

import sys
import threading
from collections import deque
from dataclasses import dataclass
from pathlib import Path
from typing import TextIO

from broadcaster.clock import Clock, SystemClock
from broadcaster.console.asking import TYPED, leaving
from broadcaster.console.lines import line_of as event_line
from broadcaster.console.venue_words import line_of, rows_of, too_close_words
from broadcaster.errors import StationError, UsageError
from broadcaster.room.mqtt_line import ENCRYPTED_PORT, PLAIN_PORT, Broker
from broadcaster.room.mqtt_remote import RemoteAiring
from broadcaster.room.mqtt_topics import checked_level
from broadcaster.room.mqtt_venue import OPENING_S, VenueLine
from broadcaster.room.secret import read_secret
from broadcaster.script.programme import Programme
from broadcaster.story.events import OutEvent

LOOK_S = 0.2
GATHER_S = 1.5
"""How long the first list waits for the stations' words: each says one a second."""
LEAVE = "Leave this console? The station stays on air."
ON_SCREEN = leaving(LEAVE)
IN_LINES = leaving(LEAVE, TYPED)


@dataclass(frozen=True, slots=True)
class Wishes:
    """What was asked for on the command line."""

    broker: str
    """`HOST` or `HOST:PORT`."""
    venue: str
    tls: str | None = None
    """Who vouches for the broker's certificate; empty: whom this machine trusts; None: no TLS."""
    version: str = "5"
    user: str | None = None
    password_file: str | None = None
    password_from: str | None = None
    station: str | None = None
    """The one station that is to be operated at once."""
    plain: bool = False


def show_venue(wishes: Wishes) -> None:
    """Show the venue until the operator leaves it. Raises UsageError or StationError."""
    clock = SystemClock()
    broker = broker_of(wishes)
    line = VenueLine(broker, checked_level("--venue", wishes.venue), clock)
    line.start()
    try:
        if wishes.station and wishes.plain:
            _operate_in_lines(line, wishes.station, clock)
        elif wishes.plain:
            _list_in_lines(line, clock)
        elif wishes.station:
            _operate(line, wishes.station, clock)
        else:
            _choose(line, f"VENUE {wishes.venue}, broker {broker}", clock)
    finally:
        line.close()


def broker_of(wishes: Wishes) -> Broker:
    """The broker that was asked for. Raises UsageError."""
    host, port = _host_and_port(wishes.broker)
    encrypted = wishes.tls is not None
    if (wishes.password_file or wishes.password_from) and not wishes.user:
        raise UsageError("A password needs a user: add --user NAME.")
    return Broker(
        host=host,
        port=port or (ENCRYPTED_PORT if encrypted else PLAIN_PORT),
        version=wishes.version,
        encrypted=encrypted,
        authority=Path(wishes.tls) if wishes.tls else None,
        user=wishes.user,
        password=read_secret(Path(), wishes.password_file, wishes.password_from),
    )


def _host_and_port(text: str) -> tuple[str, int | None]:
    """`host`, `host:1883`, `[2001:db8::1]:1883`, or an IPv6 address alone."""
    host, colon, port = text.rpartition(":")
    if not colon or (":" in host and not host.endswith("]")):
        return text.strip("[]"), None
    if not port.isascii() or not port.isdigit() or not 0 < int(port) < 65_536:
        raise UsageError(f"--broker {text}: a port is a number from 1 to 65535.")
    return host.strip("[]"), int(port)


# --- on the screen -------------------------------------------------------------------------------


def _choose(line: VenueLine, title: str, clock: Clock) -> None:
    """The list, and from it one console after the other."""
    from broadcaster.console.venue_screen import VenueScreen

    remark, chosen = "", ""
    while True:
        screen = VenueScreen(title, line, remark, chosen)
        chosen, remark = screen.run() or "", ""
        if not chosen:
            return
        try:
            remark = _gone(chosen) if _operate(line, chosen, clock) else ""
        except StationError as error:
            remark = str(error)


def _operate(line: VenueLine, station: str, clock: Clock) -> bool:
    """Its console; whether the station went off air meanwhile."""
    from broadcaster.console.app import run_console

    programme, remote = _open(line, station)
    try:
        run_console(programme, remote.send, remote.events, clock, ON_SCREEN)
    finally:
        line.leave()
    if remote.closed:
        _say(_gone(station))
    return remote.closed


def _open(line: VenueLine, station: str) -> tuple[Programme, RemoteAiring]:
    """A station, once it has answered. Raises StationError if it does not."""
    _say(f"Waiting for the station `{station}` to answer, for {OPENING_S:.0f} s at most.")
    return line.open(station)


# --- in lines ------------------------------------------------------------------------------------


def _operate_in_lines(line: VenueLine, station: str, clock: Clock) -> None:
    from broadcaster.console.line_mode import watch_in_line_mode

    programme, remote = _open(line, station)
    try:
        watch_in_line_mode(programme, remote, clock, wording=IN_LINES, show=_show, asks=False)
    finally:
        line.leave()
    if remote.closed:
        _say(_gone(station))


def _gone(station: str) -> str:
    return f"The station `{station}` went off air."


def _show(event: OutEvent) -> None:
    told = event_line(event)
    if told:
        _say(told)


def _list_in_lines(line: VenueLine, clock: Clock) -> None:
    """The list once, and then each station that changes; `list` and `leave` can be typed."""
    typed: deque[str] = deque()
    threading.Thread(target=_read, args=(sys.stdin, typed), name="typing", daemon=True).start()
    clock.wait(GATHER_S)
    _say("Type `list` for all stations, `leave` to go; --station NAME operates one.")
    changes = _Changes(line)
    changes.tell(everything=True)
    try:
        while True:
            word = typed.popleft().strip() if typed else ""
            if word == "leave":
                return
            changes.tell(everything=word == "list")
            if word not in ("", "list"):
                _say("Only `list` and `leave` are known here.")
            clock.wait(LOOK_S)
    except KeyboardInterrupt:
        return


class _Changes:
    """What of the list is news: anything but the clock."""

    def __init__(self, line: VenueLine) -> None:
        self._line = line
        self._told: dict[str, tuple[str, str]] = {}
        self._trouble = self._crowd = ""

    def tell(self, *, everything: bool) -> None:
        """Say what changed, or all."""
        if self._line.trouble != self._trouble:
            self._trouble = self._line.trouble
            _say(self._trouble or "The line to the broker stands again.")
        rows = rows_of(self._line)
        for row in rows:
            is_now = (row.segment, row.state)
            if everything or self._told.get(row.name) != is_now:
                self._told[row.name] = is_now
                _say(line_of(row))
        crowd = too_close_words(rows)
        if crowd and (everything or crowd != self._crowd):
            _say(crowd)
        self._crowd = crowd
        if everything and not self._told:
            _say("No station has said a word on this broker.")


def _read(source: TextIO, typed: "deque[str]") -> None:
    typed.extend(source)


def _say(sentence: str) -> None:
    print(sentence, flush=True)
