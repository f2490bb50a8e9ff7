"""The desk's end of the link, at which several threads talk and several listen."""

import os
import signal
import subprocess
import sys
import threading
import time
from collections.abc import Callable, Iterator
from multiprocessing.connection import Connection, Listener

import pytest

from broadcaster.air.orders import Greeting, key_file, meeting_point, runtime_folder
from broadcaster.desk import link as desk_link
from broadcaster.desk.link import StationLink
from broadcaster.errors import StationError
from broadcaster.story.events import FactChanged, Hold, OutEvent, OutputState, SetFact

NAME, KEY = "a-test", b"a secret"
PLAYING = OutputState(0, 0, "silent", False, 0, 0, -20.0, -30.0)
FIRST, SECOND = FactChanged(1, "lamp", True, "room"), FactChanged(2, "lamp", False, "room")


@pytest.fixture
def met(tmp_path, monkeypatch) -> Iterator[tuple[StationLink, Connection]]:
    """A link, and the station's end of it."""
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    key_file(NAME).write_bytes(KEY)
    link = StationLink(NAME)
    with Listener(meeting_point(NAME), authkey=KEY) as listener:
        attaching = threading.Thread(target=link.attach, args=[lambda: None])
        attaching.start()
        station = listener.accept()
        attaching.join()
        yield link, station
        station.close()


def soon(holds: Callable[[], object]) -> None:
    deadline = time.monotonic() + 5.0
    while not holds():
        assert time.monotonic() < deadline, "it never came to be"
        time.sleep(0.002)


def test_whoever_listens_hears_at_once_what_the_desk_looks_up_later(met) -> None:
    """All of it, in order: also what was told before."""
    link, station = met
    heard: list[tuple[OutEvent, bool]] = []
    station.send(Greeting([FIRST], os.getpid()))
    station.send([SECOND])
    soon(lambda: link._events)
    link.listen(lambda events, news: heard.extend((event, news) for event in events))
    assert heard == [(FIRST, False), (SECOND, True)]
    station.send([FIRST])
    soon(lambda: len(heard) == 3)
    assert heard[2] == (FIRST, True)
    assert link.greeting() == [FIRST]
    assert link.events() == [SECOND, FIRST]


def test_the_last_words_tell_how_a_station_ended(met) -> None:
    """By which signal, if it wrote nothing itself; nothing of one that another desk started."""
    link, station = met
    words = runtime_folder() / f"{NAME}.words"
    words.write_text("")
    assert link.last_words() == ""
    link._process = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(60)"])
    link._process.kill()
    assert link.last_words() == "It was ended by the signal SIGKILL."
    words.write_text("Traceback\nMemoryError")
    assert link.last_words() == "Its last words: MemoryError"
    station.close()


def test_several_threads_may_send(met) -> None:
    """Each event arrives whole."""
    link, station = met

    def talk(source: str) -> None:
        for number in range(200):
            assert link.send(SetFact("crates", number, source * 500))

    threads = [threading.Thread(target=talk, args=(source,)) for source in "abcd"]
    for thread in threads:
        thread.start()
    got = [station.recv() for _ in range(800)]
    for thread in threads:
        thread.join()
    for source in "abcd":
        values = [event.value for event in got if event.source[0] == source]
        assert values == list(range(200))


def test_who_sends_to_a_station_that_is_gone_is_told_so(met) -> None:
    """And nothing is raised."""
    link, station = met
    assert link.send(Hold())
    station.close()
    soon(lambda: link.gone)
    assert not link.send(Hold())


def test_a_station_that_played_and_falls_silent_is_ended(met, monkeypatch) -> None:
    """It hangs: not even the desk's own word is taken any more. Its last words tell it."""
    monkeypatch.setattr(desk_link, "SILENCE_S", 0.2)
    link, station = met
    process = subprocess.Popen([sys.executable, "-c", "import time; time.sleep(60)"])
    station.send(Greeting([FIRST], process.pid))
    time.sleep(0.5)  # nothing is expected of it before it plays
    assert process.poll() is None
    station.send([PLAYING])
    assert process.wait(timeout=5.0) == -signal.SIGKILL
    soon(lambda: link._gone.is_set())
    assert "told nothing" in link.last_words()


def test_a_desk_that_finds_another_says_that_it_waits(tmp_path, monkeypatch) -> None:
    """And that the station is gone, if it is when the other has let go."""
    monkeypatch.setenv("XDG_RUNTIME_DIR", str(tmp_path))
    monkeypatch.setattr(desk_link, "MEETING_S", 0.1)
    key_file(NAME).write_bytes(KEY)
    said: list[str] = []
    with Listener(meeting_point(NAME), authkey=KEY) as listener:  # which talks with nobody
        hanging_up = threading.Timer(0.5, listener._listener._socket.close)  # type: ignore[attr-defined]
        hanging_up.start()
        with pytest.raises(StationError, match="went off air meanwhile"):
            StationLink(NAME).attach(lambda: said.append("waits"))
    assert said == ["waits"]
