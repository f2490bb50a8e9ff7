"""An as-run log read back: the same events, and what a screen was told beside them."""

from itertools import pairwise
from pathlib import Path

import pytest

from broadcaster.air.playout import Playout
from broadcaster.errors import UsageError
from broadcaster.record.asrun import AsRunLog, record_line
from broadcaster.record.reading import as_told, frame_of, read_log
from broadcaster.story.events import (
    Announce,
    Coming,
    GiveHint,
    ItemAired,
    ItemStarted,
    Jump,
    MilestoneMet,
    OutEvent,
    PlainVoice,
    StartSession,
    StationOpened,
    StopPlainVoice,
)
from broadcaster.units import RATE
from tests.air.make import CountedItems, busy_session

OPENED = StationOpened("A test", "Test", 1, "silent", "as asked", "1958-11-03T20:00:00.000+00:00")


def session() -> list[OutEvent]:
    """What is told of a session with a bit of everything."""
    playout = Playout(busy_session(), CountedItems(), seed=1)
    for frame, event in (
        (100, StartSession()),
        (RATE, GiveHint()),
        (2 * RATE, Jump("gate")),
        (4 * RATE, Announce("Step back.")),
        (6 * RATE, PlainVoice()),
        (8 * RATE, StopPlainVoice()),
    ):
        playout.receive(event, frame)
    for _ in playout.run(10 * RATE):
        pass
    playout.finish()
    return [OPENED, *playout.take_events()]


def kept(events: list[OutEvent]) -> list[OutEvent]:
    return [event for event in events if record_line(event)]


@pytest.fixture
def log(tmp_path: Path) -> Path:
    written = AsRunLog(tmp_path / "log.jsonl")
    for event in session():
        written.write(event)
    written.close()
    return written.path


def test_what_was_written_is_read_back(log: Path) -> None:
    """Every event that is kept, equal to what was told, tuples and names of timings too."""
    assert list(read_log(log)) == kept(session())


def test_a_last_line_that_was_not_finished_is_left_out(log: Path) -> None:
    """Wherever a desk died in it."""
    whole = log.read_text()
    head, last = whole[:-1].rsplit("\n", 1)
    for cut in (1, 2, len(last) // 2, len(last) - 1):
        log.write_text(f"{head}\n{last[:cut]}")
        assert list(read_log(log)) == kept(session())[:-1]


def test_what_an_earlier_version_wrote_is_read(log: Path) -> None:
    """It did not tell when a milestone was met."""
    log.write_text('{"event": "milestone met", "frame": 5, "milestone": "lamp"}\n')
    assert list(read_log(log)) == [MilestoneMet(5, "lamp")]


def test_what_a_later_version_wrote_is_passed_over(log: Path) -> None:
    """An event that is not known, and a field of one that is."""
    log.write_text(
        '{"event": "tide turned", "frame": 1}\n{"event": "held", "frame": 2, "by": "somebody"}\n'
    )
    assert [frame_of(event) for event in read_log(log)] == [2]


@pytest.mark.parametrize("line", ["not JSON", "[]", '{"frame": 1}', '{"event": "held"}'])
def test_a_file_that_is_no_log_is_refused_with_its_line(log: Path, line: str) -> None:
    """In one sentence."""
    log.write_text(f"{log.read_text()}{line}\n")
    with pytest.raises(UsageError, match=r"log.jsonl:\d+: this is no line of an as-run log"):
        list(read_log(log))
    with pytest.raises(UsageError, match="Cannot read the log"):
        list(read_log(log.parent / "not there"))


def test_each_item_is_told_of_as_it_begins(log: Path) -> None:
    """Before all that was told later; what comes is what came, an item's end too."""
    told = list(as_told(read_log(log)))
    assert [event for event in told if not isinstance(event, ItemStarted | Coming)] == kept(
        session()
    )
    begun = [event for event in told if isinstance(event, ItemStarted)]
    aired = [event for event in told if isinstance(event, ItemAired)]
    assert [(one.start_frame, one.end_frame, one.text) for one in begun] == [
        (one.start_frame, one.end_frame, one.text) for one in aired
    ]
    frames = [frame_of(event) for event in told]
    assert all(one <= other for one, other in pairwise(frames))
    coming = [event for event in told if isinstance(event, Coming)]
    assert [one.cues[0][2] for one in coming[:-1]] == [one.text for one in aired[1:]]


def test_nothing_comes_after_the_end_of_a_station(log: Path) -> None:
    """A station that died was started again, and counts from 0."""
    log.write_text(2 * log.read_text())
    told = list(as_told(read_log(log)))
    assert sum(isinstance(event, StationOpened) for event in told) == 2
    coming = [event for event in told if isinstance(event, Coming)]
    assert sum(not event.cues for event in coming) == 2
