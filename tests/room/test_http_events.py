"""What happens, as server-sent events: in order, numbered, and not lost to who comes back."""

import asyncio
import json
from itertools import islice
from pathlib import Path
from typing import Any

import httpx

from broadcaster.clock import VirtualClock
from broadcaster.room.http_events import KEPT, EventLine
from broadcaster.story.events import FactChanged, ItemStarted, SegmentEntered
from tests.room.desk_line import Line, on_the_line

Told = tuple[str, str, dict[str, Any]]
"""An event's number, kind and data."""


def events_in(text: str) -> list[Told]:
    """The events of a stream, as the WHATWG's HTML standard has them (9.2.6)."""
    told = []
    for block in text.split("\n\n"):
        fields = dict(row.split(": ", 1) for row in block.splitlines() if ": " in row)
        if "data" in fields:
            told.append((fields.get("id", ""), fields["event"], json.loads(fields["data"])))
    return told


def heard(line: Line, last_id: str | None = None) -> list[Told]:
    """All that one answer tells."""
    headers = {} if last_id is None else {"Last-Event-ID": last_id}
    answer = httpx.get(f"{line.url}/events", headers=headers)
    assert answer.headers["content-type"].startswith("text/event-stream")
    return events_in(answer.text)


def records(told: list[Told]) -> list[str]:
    return [data["fact"] for _, kind, data in told if kind == "as-run"]


def test_who_comes_back_misses_nothing(tmp_path: Path) -> None:
    """The last number that was heard is enough; a foreign one, or none, tells all that is kept."""
    with on_the_line(tmp_path, longest_stream_s=0.3) as line:
        line.tell(FactChanged(1, "a", True, "x"), FactChanged(2, "b", True, "x"))
        first = heard(line)
        assert records(first) == ["a", "b"]
        assert [kind for _, kind, _ in first][-1] == "status"
        numbers = [number for number, kind, _ in first if kind == "as-run"]
        line.tell(FactChanged(3, "c", True, "x"))
        assert records(heard(line, numbers[-1])) == ["c"]
        assert records(heard(line, numbers[0])) == ["b", "c"]
        for strange in ("0badcafe-1", "1", "", "-", numbers[0] + "9" * 30):
            assert records(heard(line, strange)) == ["a", "b", "c"], strange


def test_events_come_as_they_happen(tmp_path: Path) -> None:
    """A line that stays open tells of each, and of how things stand after it."""
    with on_the_line(tmp_path) as line, httpx.stream("GET", f"{line.url}/events") as answer:
        rows = (row for row in answer.iter_lines() if row.startswith("data: "))
        assert json.loads(next(rows)[6:])["facts"]["lamp_lit"] is False
        line.tell(FactChanged(1, "lamp_lit", True, "x"))
        record, status = (json.loads(row[6:]) for row in islice(rows, 2))
        assert record["event"] == "fact changed"
        assert status["facts"]["lamp_lit"] is True


def test_what_the_log_does_not_keep_is_told_only_as_status(tmp_path: Path) -> None:
    """An item that starts changes how things stand, and is no record."""
    with on_the_line(tmp_path, longest_stream_s=0.3) as line:
        line.tell(ItemStarted(0, 48000, "watch", "say", "One.", None, 1, 1, 1))
        told = heard(line)
        assert [kind for _, kind, _ in told] == ["status"]
        assert told[0][2]["on_air"]["text"] == "One."


def test_no_more_than_so_many_are_kept() -> None:
    """The oldest go; who was away for longer gets all that is left."""

    async def listen() -> str:
        clock = VirtualClock()
        line = EventLine(dict, clock)
        for number in range(KEPT + 7):
            line.tell(SegmentEntered(number, "watch", "x"))
        listening = line.listen()
        return await anext(listening) + await anext(listening)

    told = [data["frame"] for _, kind, data in events_in(asyncio.run(listen())) if kind == "as-run"]
    assert told == list(range(7, KEPT + 7))


def test_a_desk_that_closes_ends_every_line(tmp_path: Path) -> None:
    """Nobody who listens can hold it open: the answer ends, long before its time."""
    with on_the_line(tmp_path) as line, httpx.stream("GET", f"{line.url}/events") as answer:
        rows = answer.iter_lines()
        next(rows)
        line.loop.call_soon_threadsafe(line.part._line.close)
        assert not [row for row in rows if row.startswith("event: as-run")]
