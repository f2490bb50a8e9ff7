"""The line to one HTTP caller: it has no patience with those who never finish what they say."""

import asyncio
from http import HTTPStatus

import h11
from uvicorn.protocols.http.h11_impl import H11Protocol

from broadcaster.room.http_problem import ProblemError

HEAD_S = 10.0
"""How long a request may take until its head has come, from its first byte or the connection's
begin."""
MOST_CONNECTIONS = 256
"""At once; whoever comes then is not heard."""


class PatientProtocol(H11Protocol):
    """The server library's own, with a deadline, a limit, and our words for what is no HTTP."""

    _deadline: asyncio.TimerHandle | None = None

    def connection_made(self, transport: asyncio.Transport) -> None:  # type: ignore[override]
        """A caller is there."""
        super().connection_made(transport)
        if len(self.connections) > MOST_CONNECTIONS:
            transport.abort()
        else:
            self._deadline = self.loop.call_later(HEAD_S, transport.abort)

    def data_received(self, data: bytes) -> None:
        """Part of what the caller says."""
        super().data_received(data)
        in_a_head = self.conn.their_state is h11.IDLE and bool(self.conn.trailing_data[0])
        if not in_a_head:
            self._unset_deadline()
        elif self._deadline is None:
            self._deadline = self.loop.call_later(HEAD_S, self.transport.abort)

    def connection_lost(self, exc: Exception | None) -> None:
        """The caller is gone."""
        self._unset_deadline()
        super().connection_lost(exc)

    def send_400_response(self, msg: str) -> None:
        """Answer to what is no HTTP, unless the answer to something else is half sent."""
        del msg
        if self.conn.our_state in (h11.IDLE, h11.SEND_RESPONSE):
            problem = ProblemError(HTTPStatus.BAD_REQUEST, "This is not HTTP.").response()
            headers = [*problem.raw_headers, (b"connection", b"close")]
            reason = HTTPStatus.BAD_REQUEST.phrase.encode()
            for event in (
                h11.Response(status_code=400, headers=headers, reason=reason),
                h11.Data(data=bytes(problem.body)),
                h11.EndOfMessage(),
            ):
                self.transport.write(self.conn.send(event) or b"")
        self.transport.close()

    def _unset_deadline(self) -> None:
        if self._deadline is not None:
            self._deadline.cancel()
            self._deadline = None
