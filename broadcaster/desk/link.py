"""The desk's end of the link: starts a station, or finds one that went on, and talks with it."""

import os
import secrets
import signal
import subprocess
import sys
import threading
import time
from collections import deque
from collections.abc import Callable, Sequence
from contextlib import suppress
from multiprocessing import AuthenticationError
from multiprocessing.connection import Client, Connection
from pathlib import Path
from typing import TYPE_CHECKING, TypeAlias

from broadcaster.air.orders import (
    Checkpoint,
    Greeting,
    Orders,
    Refusal,
    ToStation,
    key_file,
    meeting_point,
    runtime_folder,
)
from broadcaster.errors import BroadcasterError, StationError
from broadcaster.story.events import OutEvent, OutputState, StationClosed

if TYPE_CHECKING:  # a desk starts its station before it loads the story
    from broadcaster.story.state import State

START_LIMIT_S = 20.0
"""A station that does not answer for so long has failed to start."""
MEETING_S = 3.0
"""A station that does not answer for so long has another desk: it talks with one at a time."""
SILENCE_S = 20.0
"""A station tells ten times a second how its output does; one that tells nothing for so long hangs.
Chosen: longer than a busy machine has been seen to keep one waiting."""
_STATION_ENVIRONMENT = {"OPENBLAS_NUM_THREADS": "1"}
"""Threads for large matrices, of which a station has none, would take time to start."""


Ear: TypeAlias = Callable[[Sequence[OutEvent], bool], None]
"""Whoever else hears what the station tells: events, and whether they are news or how it stands."""


def _no_ear(events: Sequence[OutEvent], news: bool) -> None:
    del events, news


class StationLink:
    """One station process, as the desk sees it."""

    def __init__(self, name: str) -> None:
        """`name` is the meeting point: the same name finds a station that is still on air."""
        self._name = name
        self._process: subprocess.Popen[bytes] | None = None
        self._number: int | None = None
        self._hung = False
        self.checkpoint: State | None = None
        """Where the story stood when the station last told."""
        self._pipe: Connection | None = None
        self._events: deque[OutEvent] = deque()
        self._standing: list[OutEvent] = []
        self._ear: Ear = _no_ear
        self._hearing = threading.Lock()
        self._sending = threading.Lock()
        self._refusal: Refusal | None = None
        self._closed = False
        self._gone = threading.Event()

    @property
    def gone(self) -> bool:
        """Whether the station is not there any more, whatever the reason."""
        return self._gone.is_set() and not self._events

    @property
    def closed(self) -> bool:
        """Whether the station closed as it should."""
        return self._closed

    def attach(self, waits: Callable[[], None]) -> bool:
        """Meet a station of this name that is on air already; False if there is none.

        `waits` is called if another desk has it, which is waited for. Raises StationError if the
        station is not there any more then.
        """
        met: list[Connection | None] = []
        meeting = threading.Thread(target=lambda: met.append(self._meet()), daemon=True)
        meeting.start()
        meeting.join(MEETING_S)
        waited = meeting.is_alive()
        if waited:
            waits()
            meeting.join()
        (pipe,) = met
        if pipe:
            self._talk(pipe)
        elif waited:
            raise StationError("The station went off air meanwhile; give the command again.")
        return pipe is not None

    def start(self) -> None:
        """Start the station's process; it gets ready while the desk reads the script."""
        self._gone.clear()
        self._hung, self.checkpoint = False, None
        key = key_file(self._name)
        key.unlink(missing_ok=True)
        key.touch(mode=0o600)
        key.write_bytes(secrets.token_bytes(32))
        if sys.platform != "win32":
            Path(meeting_point(self._name)).unlink(missing_ok=True)
        with (runtime_folder() / f"{self._name}.words").open("wb") as words:
            self._process = subprocess.Popen(
                [sys.executable, "-m", "broadcaster.air.launch", self._name],
                env={**os.environ, **_STATION_ENVIRONMENT},
                stdin=subprocess.DEVNULL,
                stdout=words,
                stderr=words,
                start_new_session=True,  # neither Ctrl-C nor the desk's end takes it off air
            )
        self._number = self._process.pid

    def give(self, orders: Orders) -> None:
        """Hand the orders over. Raises StationError if the station does not come up."""
        deadline = time.monotonic() + START_LIMIT_S
        while not (pipe := self._meet()):
            if time.monotonic() > deadline or (self._process and self._process.poll() is not None):
                self.abandon()
                raise StationError(f"The station did not start. {self.last_words()}".strip())
            time.sleep(0.005)
        pipe.send(orders)
        self._talk(pipe)  # from here on others may send, too

    def abandon(self) -> None:
        """End a station that never went on air."""
        if self._process:
            self._process.kill()
            self._process.wait()
        key_file(self._name).unlink(missing_ok=True)

    def send(self, event: ToStation) -> bool:
        """Tell the station something, from any thread; False: it is gone, and hears nothing."""
        with self._sending:
            if self._pipe:
                with suppress(OSError):
                    self._pipe.send(event)
                    return True
        return False

    def listen(self, ear: Ear) -> None:
        """Have somebody else hear, in the link's own thread, what the station tells: at once.

        What it told before is heard now. The ear must not wait for anything.
        """
        with self._hearing:
            if self._standing:
                ear(self._standing, False)
            ear(list(self._events), True)
            self._ear = ear

    def events(self) -> list[OutEvent]:
        """What the station told since last asked. Raises what made it refuse to go on air."""
        if self._refusal:
            raise refused(self._refusal)
        told = []
        while self._events:
            told.append(self._events.popleft())
        return told

    def greeting(self) -> list[OutEvent]:
        """How things stood when a station was met that is on air already; once, and no news."""
        standing, self._standing = self._standing, []
        return standing

    def last_words(self) -> str:
        """The end of what the station's process wrote about its own death, or how it ended."""
        if self._hung:
            return f"It had told nothing for {SILENCE_S:.0f} s, and was ended."
        words = (runtime_folder() / f"{self._name}.words").read_text(errors="replace").strip()
        return f"Its last words: {words.splitlines()[-1]}" if words else self._end()

    def _end(self) -> str:
        """How its process ended, in a sentence; empty for one that another desk started."""
        with suppress(subprocess.TimeoutExpired):
            code = self._process.wait(1.0) if self._process else 0
            if code < 0:
                return f"It was ended by the signal {signal.Signals(-code).name}."
            return f"It ended with the exit code {code}." if code else ""
        return ""

    def _meet(self) -> Connection | None:
        """A pipe to a station of this name, if there is one."""
        with suppress(OSError, EOFError, AuthenticationError):
            return Client(meeting_point(self._name), authkey=key_file(self._name).read_bytes())
        return None

    def _talk(self, pipe: Connection) -> None:
        with self._sending:
            self._pipe = pipe
        threading.Thread(target=self._hear, args=(pipe,), name="station", daemon=True).start()

    def _hear(self, pipe: Connection) -> None:
        patience_s = None  # until it plays it may take its time
        with suppress(EOFError, OSError):
            while pipe.poll(patience_s):
                message = pipe.recv()
                if isinstance(message, Refusal):
                    self._refusal = message
                    break
                with self._hearing:
                    self._take(message)
                if isinstance(message, list) and any(isinstance(e, OutputState) for e in message):
                    patience_s = SILENCE_S
            else:
                self._end_hung()
        self._gone.set()

    def _end_hung(self) -> None:
        """End a station that hangs. Whoever waits while sending to it learns that it is gone."""
        self._hung = True
        if self._number:
            os.kill(
                self._number, getattr(signal, "SIGKILL", signal.SIGTERM)
            )  # Windows has no other

    def _take(self, message: Greeting | Checkpoint | list[OutEvent]) -> None:
        if isinstance(message, Checkpoint):
            self.checkpoint = message.state
            return
        if isinstance(message, Greeting):
            self._standing, self._number = message.standing, message.process
            self._ear(message.standing, False)
            return
        self._events.extend(message)
        self._ear(message, True)
        self._closed |= any(isinstance(event, StationClosed) for event in message)


def refused(refusal: Refusal) -> BroadcasterError:
    """The station's refusal as an error with its own exit code."""
    error = StationError(refusal.sentence)
    error.exit_code = refusal.exit_code
    return error
