"""The station's end of the link to the desk: two threads that may wait, so that playout need not.

Whoever connects is told at once how things stand; when the desk is gone, what happens is kept (the
oldest is dropped when it grows too much) for the desk that comes next.
"""

import os
import threading
from collections import deque
from contextlib import suppress
from multiprocessing import AuthenticationError
from multiprocessing.connection import Connection, Listener

from broadcaster.air.orders import Checkpoint, Greeting, Orders, Refusal, ToStation
from broadcaster.story.events import OutEvent, OutputState
from broadcaster.story.standing import Standing
from broadcaster.story.state import State

KEPT_EVENTS = 20_000
"""Out-events kept while no desk listens: half a day of a busy programme."""


class DeskLink:
    """One desk at a time; a new one takes the place of the old."""

    def __init__(self, listener: Listener, desk: Connection) -> None:
        self.inbox: deque[ToStation] = deque()
        self._arrived = threading.Event()
        self._listener = listener
        self._desk: Connection | None = desk
        self._outbox: deque[OutEvent] = deque(maxlen=KEPT_EVENTS)
        self._unsent: deque[OutEvent] = deque(maxlen=KEPT_EVENTS)
        self._standing = Standing()
        self._greet = False
        self._news = threading.Event()
        self._closing = False
        self.checkpoint: State | None = None
        """Where the story stands; the desk is told the newest."""
        self._last: State | None = None
        self._sender = threading.Thread(target=self._send_all, name="to desk", daemon=True)

    @staticmethod
    def meet(address: str, key: bytes) -> tuple[Listener, Connection]:
        """Listen, and wait for the first desk."""
        listener = Listener(address, authkey=key)
        return listener, _accept(listener)

    def start(self) -> None:
        """Begin to listen and to tell."""
        threading.Thread(target=self._listen, name="from desk", daemon=True).start()
        self._sender.start()

    def tell(self, events: list[OutEvent]) -> None:
        """Send these when the desk can take them. Never waits."""
        for event in events:
            if isinstance(event, OutputState) and self._desk is None:
                continue
            self._outbox.append(event)
            self._standing.hear(event)
        self._news.set()

    def wait(self, seconds: float) -> None:
        """Sleep for so long, or until the desk says something."""
        self._arrived.wait(seconds)
        self._arrived.clear()

    def close(self) -> None:
        """Send what is left, and hang up. A desk that does not listen is not waited for long."""
        self._closing = True
        self._news.set()
        self._sender.join(timeout=2.0)
        self._listener.close()

    def _listen(self) -> None:
        while True:
            desk = self._desk
            with suppress(EOFError, OSError):
                while desk:
                    message = desk.recv()
                    if not isinstance(message, Orders):  # a desk that came late repeats its orders
                        self.inbox.append(message)
                        self._arrived.set()
            self._desk = None
            try:
                self._desk = _accept(self._listener)
            except OSError:  # closed
                return
            self._greet = True
            self._news.set()

    def _send_all(self) -> None:
        while True:
            self._news.wait()
            self._news.clear()
            desk = self._desk
            if desk:
                self._send(desk)
            if self._closing:
                return

    def _send(self, desk: Connection) -> None:
        """Send what waits. What cannot be sent is kept for the next desk."""
        while self._outbox:
            self._unsent.append(self._outbox.popleft())
        with suppress(OSError):
            if self._greet:
                desk.send(Greeting(self._standing.events(), os.getpid()))
                self._greet, self._last = False, None
            checkpoint = self.checkpoint
            if checkpoint and checkpoint != self._last:
                desk.send(Checkpoint(checkpoint))
                self._last = checkpoint
            desk.send(list(self._unsent))
            self._unsent.clear()


def _accept(listener: Listener) -> Connection:
    """Wait for somebody who knows the secret."""
    while True:
        with suppress(AuthenticationError, EOFError):
            return listener.accept()


def refuse(desk: Connection, error: Exception, exit_code: int) -> None:
    """Tell the desk that there will be no broadcast."""
    desk.send(Refusal(str(error), exit_code))
