"""The line to one HTTP caller: it has no patience with those who never finish what they say."""

import asyncio
from http import HTTPStatus

from uvicorn.protocols.http.httptools_impl import STATUS_LINE, HttpToolsProtocol

from broadcaster.room.http_problem import ProblemError

HEAD_S = 10.0
"""How long a request may take until its head has come, from its first byte or the connection's
begin."""
LONGEST_HEAD = 65_536
"""Bytes that may come after those in which a head began, until it has ended."""
MOST_CONNECTIONS = 256
"""At once; whoever comes then is not heard."""


class PatientProtocol(HttpToolsProtocol):
    """The server library's own, with a deadline, limits, and our words for what is no HTTP."""

    _deadline: asyncio.TimerHandle | None = None
    _more_of_head = 0
    """Bytes that came after those in which a head began."""

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """A caller is there."""
        super().connection_made(transport)
        if len(self.connections) > MOST_CONNECTIONS:
            transport.abort()
        else:
            self._set_deadline()

    def data_received(self, data: bytes) -> None:
        """Part of what the caller says."""
        self._more_of_head += len(data)
        super().data_received(data)
        if self._deadline is not None and self._more_of_head > LONGEST_HEAD:
            self.transport.abort()

    def on_message_begin(self) -> None:
        """The first byte of a request has come."""
        super().on_message_begin()
        self._more_of_head = 0
        self._set_deadline()

    def on_headers_complete(self) -> None:
        """Its head has come."""
        self._unset_deadline()
        super().on_headers_complete()

    def connection_lost(self, exc: Exception | None) -> None:
        """The caller is gone."""
        self._unset_deadline()
        super().connection_lost(exc)

    def send_400_response(self, msg: str) -> None:
        """Answer to what is no HTTP, unless the answer to something else is half sent."""
        del msg
        answering = self.cycle is not None and not self.cycle.response_complete
        if not answering or not self.cycle.response_started:
            problem = ProblemError(HTTPStatus.BAD_REQUEST, "This is not HTTP.").response()
            headers = [*problem.raw_headers, (b"connection", b"close")]
            lines = [name + b": " + value + b"\r\n" for name, value in headers]
            self.transport.write(b"".join((STATUS_LINE[400], *lines, b"\r\n", bytes(problem.body))))
        self.transport.close()

    def _set_deadline(self) -> None:
        if self._deadline is None:
            self._deadline = self.loop.call_later(HEAD_S, self.transport.abort)

    def _unset_deadline(self) -> None:
        if self._deadline is not None:
            self._deadline.cancel()
            self._deadline = None
