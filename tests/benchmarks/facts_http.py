"""How soon the station knows what comes by HTTP, and what a flood does to it:
`python -m tests.benchmarks facts_http`.

The flood comes from another process, one request after the other in one connection, without waiting
for the answers: so what the newest value is, is known. It goes as fast as it should, or as fast as
the desk reads; what the desk does not read yet waits at the sender, and is not lost.
"""

import http.client
import json
import socket
import sys
import threading
import time

from broadcaster.script.venue_settings import HttpSettings, VenueSettings
from tests.benchmarks.facts import (
    FACT,
    FLOOD_A_SECOND,
    FLOOD_S,
    MESSAGES_A_SECOND,
    VALUES,
    flood_from_elsewhere,
    measure,
    on_air,
)
from tests.benchmarks.figures import heading
from tests.ports import free_port

OPENING_S = 10.0
MOST_AT_ONCE = 100
"""Requests that are put on the line together."""


class Caller:
    """One caller who reports a fact, and waits for each answer."""

    def __init__(self, port: int) -> None:
        self._line = http.client.HTTPConnection("127.0.0.1", port)
        self._line.connect()
        self._line.sock.setsockopt(socket.IPPROTO_TCP, socket.TCP_NODELAY, 1)

    def tell(self, value: int) -> None:
        """Report the value."""
        body = json.dumps({"value": value})
        self._line.request("PUT", f"/facts/{FACT}", body, {"Content-Type": "application/json"})
        answer = self._line.getresponse()
        answer.read()
        assert answer.status == 202, answer.status


def main() -> None:
    """Print the figures."""
    port = free_port()
    with on_air(VenueSettings(http=HttpSettings(port=port))) as station:
        _wait_for(port)
        heading(f"Facts at {MESSAGES_A_SECOND} a second, by HTTP")
        measure(station, Caller(port).tell)
        heading(f"A flood of facts for {FLOOD_S:.0f} s, by HTTP")
        flood_from_elsewhere(station, "tests.benchmarks.facts_http", port)


def _wait_for(port: int) -> None:
    deadline = time.monotonic() + OPENING_S
    while True:
        try:
            socket.create_connection(("127.0.0.1", port)).close()
        except OSError:
            assert time.monotonic() < deadline
            time.sleep(0.05)
        else:
            return


# --- the other process ----------------------------------------------------------------------------


def flood_from_here(port: int) -> None:
    """Send requests for so long, then a last one; print what became of them."""
    line = socket.create_connection(("127.0.0.1", port))
    answers = bytearray()
    reading = threading.Thread(target=_read, args=(line, answers))
    reading.start()
    began_s, sent = time.monotonic(), 0
    while (passed_s := time.monotonic() - began_s) < FLOOD_S:
        due = min(MOST_AT_ONCE, max(0, int(passed_s * FLOOD_A_SECOND) - sent))
        line.sendall(b"".join(_request((sent + number) % VALUES) for number in range(due)))
        sent += due
        time.sleep(0.005)
    seconds = time.monotonic() - began_s
    last = (sent + 1) % VALUES
    line.sendall(_request(last, "close"))
    reading.join()
    told = {"sent": sent + 1, "seconds": seconds, "last": last, "accepted": answers.count(b" 202 ")}
    print(json.dumps(told))


def _request(value: int, connection: str = "keep-alive") -> bytes:
    body = b'{"value":%d}' % value
    return (
        b"PUT /facts/%s HTTP/1.1\r\nHost: 127.0.0.1\r\nContent-Type: application/json\r\n"
        b"Connection: %s\r\nContent-Length: %d\r\n\r\n%s"
        % (FACT.encode(), connection.encode(), len(body), body)
    )


def _read(line: socket.socket, answers: bytearray) -> None:
    while heard := line.recv(65_536):
        answers += heard


if __name__ == "__main__":
    if sys.argv[1:]:
        flood_from_here(int(sys.argv[1]))
    else:
        main()
