"""HTTP: the desk page, and a door for programs.

Only this machine reaches it unless the settings name another address; then callers must know a
token, or nothing is opened.
"""

import asyncio
import logging
import os
import socket
from ipaddress import ip_address

import uvicorn

from broadcaster.errors import UsageError
from broadcaster.room.http_app import PAGE, Desk
from broadcaster.room.http_events import LONGEST_S, EventLine
from broadcaster.room.http_guard import USUAL, Guard, Limits
from broadcaster.room.http_patience import PatientProtocol
from broadcaster.room.part import Surroundings
from broadcaster.room.secret import read_token
from broadcaster.script.venue_settings import THIS_MACHINE, HttpSettings
from broadcaster.story.events import OutEvent

WAITING = 256
"""Callers that may wait for the door."""
GRACE_S = 1.0
"""How long answers may take to end when the door is closed."""


def open_part(settings: HttpSettings, around: Surroundings) -> "HttpPart":
    """The part of the section `http`. Raises UsageError where nothing may be opened."""
    return HttpPart(settings, around)


class HttpPart:
    """One listening port."""

    def __init__(
        self,
        settings: HttpSettings,
        around: Surroundings,
        *,
        limits: Limits = USUAL,
        longest_stream_s: float = LONGEST_S,
    ) -> None:
        """`longest_stream_s`: how long the events are told in one answer."""
        self._settings = settings
        self._around = around
        self._limits = limits
        self._token = read_token(around.settings.folder, settings.token_file, settings.token_from)
        if self._token is None and not is_loopback(settings.address):
            raise UsageError(
                f"At {settings.address} others than this machine could call, and no token is "
                "asked of them: add `token file: PATH` or `token from: VARIABLE`."
            )
        self._line = EventLine(around.status.as_record, around.clock, longest_stream_s)

    async def run(self) -> None:
        """Listen until cancelled. Raises UsageError if the port cannot be had."""
        listening = _listen(self._settings.address, self._settings.port)
        self._line.open()
        server = uvicorn.Server(self._config())
        serving = asyncio.create_task(server.serve(sockets=[listening]))
        self._around.is_well("http")
        try:
            await asyncio.shield(serving)
        finally:
            self._line.close()
            server.should_exit = True
            await serving
            listening.close()

    def tell(self, event: OutEvent) -> None:
        """Something happened on air."""
        self._line.tell(event)

    def _config(self) -> uvicorn.Config:
        application = Guard(
            Desk(self._around, self._line).application(),
            clock=self._around.clock,
            token=self._token,
            open_paths=PAGE,
            hosts=self._settings.hosts,
            only_loopback=is_loopback(self._settings.address),
            limits=self._limits,
            complain=self._around.intake.refuse,
        )
        logging.getLogger("uvicorn.error").disabled = True  # failures are told as Trouble
        return uvicorn.Config(
            application,
            http=PatientProtocol,
            ws="none",
            lifespan="off",
            log_config=None,
            access_log=False,
            server_header=False,
            proxy_headers=False,
            backlog=WAITING,
            timeout_graceful_shutdown=int(GRACE_S),
            ssl_certfile=self._file(self._settings.certificate_file),
            ssl_keyfile=self._file(self._settings.key_file),
        )

    def _file(self, name: str | None) -> str | None:
        """A file that the settings name, which lies beside them."""
        return None if name is None else str(self._around.settings.folder / name)


def is_loopback(address: str) -> bool:
    """Whether nobody but this machine can call at an address."""
    try:
        return ip_address(_numbers(address)).is_loopback
    except ValueError:
        return False


def _listen(address: str, port: int) -> socket.socket:
    """A socket that listens there. Raises UsageError."""
    listening = None
    try:
        (family, kind, protocol, _, place), *_ = socket.getaddrinfo(
            _numbers(address), port, type=socket.SOCK_STREAM, flags=socket.AI_PASSIVE
        )
        # With its protocol told, the loop sends answers at once; else each waits for 40 ms.
        listening = socket.socket(family, kind, protocol)
        if os.name == "posix":  # elsewhere it would let others take the port, too
            listening.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        listening.bind(place)
    except OSError as error:
        if listening is not None:
            listening.close()
        reason = error.strerror or str(error)
        raise UsageError(f"Cannot listen at {address}, port {port}: {reason}.") from error
    return listening


def _numbers(address: str) -> str:
    """`localhost` is this machine, whatever a table of names says (RFC 6761, 6.3)."""
    return THIS_MACHINE if address == "localhost" else address
