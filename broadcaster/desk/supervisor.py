"""Keeps several stations: a desk process for each, which is started again when it dies.

A desk that dies takes nothing off air: its station goes on, and the next desk meets it again.
"""

import json
import queue
import subprocess
import sys
import tempfile
import threading
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import asdict, dataclass, replace
from typing import Protocol, TypeAlias

from broadcaster.clock import Clock
from broadcaster.desk.session import Wishes
from broadcaster.desk.several import Wanted
from broadcaster.desk.supervised import OFF_AIR, Said

STARTING_AT_ONCE = 2
"""So many desks get their stations ready at the same time: more would make each too slow."""
STARTING_S = 20.0
"""After so long the next one's turn comes, whatever becomes of this one."""
FIRST_WAIT_S = 0.5
LONGEST_WAIT_S = 30.0
"""A desk that dies again and again waits twice as long each time, but no longer than this."""
LONG_LIFE_S = 60.0
"""A desk that lived so long has made good for those before it."""
PATIENCE_S = 15.0
"""How long going off air may take."""
LOOK_S = 0.2
STATION_FAILED = 3
"""The exit code of a station that could not run."""


@dataclass(frozen=True, slots=True)
class Died:
    """A desk has ended: how, in a few words, for where it did not say so itself."""

    how: str


Hear: TypeAlias = Callable[["Said | Died"], None]


class Desk(Protocol):
    """A desk process, as its supervisor sees it."""

    def off_air(self) -> None:
        """Tell it to take its station off air, and to end."""

    def kill(self) -> None:
        """End it at once."""


@dataclass(frozen=True, slots=True)
class Change:
    """What is new about a station: how it stands, or a sentence about it."""

    callsign: str
    script: str
    state: str
    """`starting`, `standing by`, `on air`, `held`, `off air` or `failed`."""
    segment: str | None = None
    sentence: str = ""
    """If there is one, this is the news, and not how it stands."""


class Charge:
    """A station in the supervisor's care."""

    def __init__(self, wanted: Wanted) -> None:
        self.callsign = wanted.callsign
        self.wishes = wanted.wishes
        self.desk: Desk | None = None
        self.state = "starting"
        self.segment: str | None = None
        self.opened_s: float | None = None
        """When its station was first heard of; None: it was not yet."""
        self.began_s = 0.0
        self.due_s: float | None = 0.0
        """When its desk is to be started; None: not now."""
        self.wait_s = FIRST_WAIT_S
        self.code: int | None = None
        """Its exit code; None: it is not over."""
        self.answered = False
        """Whether the desk has said anything yet."""

    def change(self, sentence: str = "") -> Change:
        """How it stands, or a sentence about it."""
        return Change(self.callsign, self.wishes.script, self.state, self.segment, sentence)


class Supervisor:
    """Starts a desk for each station, and again where one dies; tells how the stations stand."""

    def __init__(
        self,
        stations: Sequence[Wanted],
        launch: Callable[[Wishes, Hear], Desk],
        tell: Callable[[Change], None],
        clock: Clock,
    ) -> None:
        """`launch` starts a desk, which is heard from any thread; `tell` hears of each change."""
        self._charges = [Charge(wanted) for wanted in stations]
        self._launch = launch
        self._tell = tell
        self._clock = clock
        self._news: queue.SimpleQueue[tuple[Charge, Said | Died]] = queue.SimpleQueue()
        self._closing = False

    @property
    def over(self) -> bool:
        """Whether no station is left."""
        return all(charge.code is not None for charge in self._charges)

    @property
    def code(self) -> int:
        """The worst of the stations' exit codes."""
        return max(charge.code or 0 for charge in self._charges)

    def run(self) -> int:
        """Keep the stations until all are over, or until Ctrl-C takes them off air; exit code."""
        try:
            while not self.over:
                self.turn(LOOK_S)
        except KeyboardInterrupt:
            self.take_off_air()
        return self.code

    def turn(self, patience_s: float) -> None:
        """Start what is due, and hear what is new, for which it may wait so long."""
        for charge in self._charges:
            if charge.due_s is not None and charge.due_s <= self._clock.seconds():
                self._start(charge)
        with suppress(queue.Empty):
            charge, news = self._news.get(timeout=patience_s)
            self._hear(charge, news)

    def take_off_air(self) -> None:
        """Take all stations off air; one whose desk is dead gets a desk that does so."""
        self._closing = True
        for charge in self._charges:
            if charge.desk:
                charge.desk.off_air()
            elif charge.opened_s is None:
                self._finish(charge, charge.code or 0)
            elif charge.code is None:
                self._start(charge)
        deadline_s = self._clock.seconds() + PATIENCE_S
        while not self.over and self._clock.seconds() < deadline_s:
            self.turn(LOOK_S)
        for charge in self._charges:
            if charge.code is None:
                self._give_up(charge)

    def _start(self, charge: Charge) -> None:
        now_s = self._clock.seconds()
        if not self._closing and self._starting(now_s) >= STARTING_AT_ONCE:
            return
        wishes = charge.wishes
        if wishes.length_s is not None and charge.opened_s is not None:
            left_s = charge.opened_s + wishes.length_s - now_s
            if left_s <= 0:
                self._finish(charge, 0)
                return
            wishes = replace(wishes, length_s=left_s)
        charge.began_s, charge.due_s, charge.answered = now_s, None, False
        charge.desk = self._launch(wishes, lambda news: self._news.put((charge, news)))
        if self._closing:
            charge.desk.off_air()

    def _starting(self, now_s: float) -> int:
        return sum(
            bool(charge.desk) and not charge.answered and now_s < charge.began_s + STARTING_S
            for charge in self._charges
        )

    def _hear(self, charge: Charge, news: Said | Died) -> None:
        charge.answered = True
        if isinstance(news, Died):
            self._bury(charge, news.how)
        elif "code" in news:
            self._end(charge, news["code"], news["sentence"])
        elif "sentence" in news:
            self._tell(charge.change(news["sentence"]))
        else:
            if charge.opened_s is None:
                charge.opened_s = self._clock.seconds()
            self._stand(charge, news["state"], news["segment"])

    def _end(self, charge: Charge, code: int, sentence: str) -> None:
        """The desk said how it ends: for good, or because a station on air could not be kept."""
        if sentence:
            self._tell(charge.change(sentence))
        if code != STATION_FAILED or charge.opened_s is None or charge.state == "off air":
            self._finish(charge, code)

    def _bury(self, charge: Charge, how: str) -> None:
        """The desk is gone; if it did not say for good, there is another after a while."""
        charge.desk = None
        if charge.code is not None:
            return
        if charge.state == "off air":
            self._finish(charge, 0)
            return
        now_s = self._clock.seconds()
        if now_s > charge.began_s + LONG_LIFE_S:
            charge.wait_s = FIRST_WAIT_S
        wait_s = 0.0 if self._closing else charge.wait_s
        charge.due_s, charge.wait_s = now_s + wait_s, min(2 * charge.wait_s, LONGEST_WAIT_S)
        self._tell(charge.change(f"Its desk died ({how}); another starts in {wait_s:g} s."))

    def _finish(self, charge: Charge, code: int) -> None:
        charge.code, charge.due_s = code, None
        self._stand(charge, "failed" if code else "off air", None)

    def _stand(self, charge: Charge, state: str, segment: str | None) -> None:
        if (charge.state, charge.segment) != (state, segment):
            charge.state, charge.segment = state, segment
            self._tell(charge.change())

    def _give_up(self, charge: Charge) -> None:
        if charge.desk:
            charge.desk.kill()
        self._tell(charge.change("Its desk does not answer; its station may still be on air."))
        self._finish(charge, STATION_FAILED)


class DeskProcess:
    """A desk in a process of its own, and the thread that hears it."""

    def __init__(self, wishes: Wishes, hear: Hear) -> None:
        """`hear` gets all that it says, and last that it died, in a thread of its own."""
        self._hear = hear
        self._words = tempfile.TemporaryFile()  # noqa: SIM115  closed by _listen()
        self._process = subprocess.Popen(
            [sys.executable, "-m", "broadcaster.desk.supervised", wishes.script],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=self._words,
            start_new_session=True,  # the terminal's Ctrl-C is meant for the supervisor
        )
        self._write(json.dumps(asdict(wishes)).encode() + b"\n")
        threading.Thread(target=self._listen, name=wishes.script, daemon=True).start()

    def off_air(self) -> None:
        """Tell it to take its station off air, and to end."""
        self._write(OFF_AIR)

    def kill(self) -> None:
        """End it at once."""
        self._process.kill()

    def _write(self, line: bytes) -> None:
        assert self._process.stdin is not None
        with suppress(OSError):  # it has died: the thread that listens tells
            self._process.stdin.write(line)
            self._process.stdin.flush()

    def _listen(self) -> None:
        assert self._process.stdout is not None
        with self._process.stdout as lines:
            for line in lines:
                with suppress(json.JSONDecodeError):  # broken off by its death
                    self._hear(json.loads(line))
        code = self._process.wait()
        with self._words as words:
            words.seek(0)
            said = words.read().decode(errors="replace").strip().splitlines()
        self._hear(Died(said[-1] if said else f"signal {-code}" if code < 0 else f"code {code}"))
