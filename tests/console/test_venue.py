"""The venue on the screen: what its list shows, and what its keys do."""

import asyncio
from collections.abc import Mapping, Sequence
from pathlib import Path
from typing import Any

import pytest

import broadcaster
from broadcaster.cli import RUNS
from broadcaster.clock import SystemClock
from broadcaster.command_line import parser
from broadcaster.console.rows import plain
from broadcaster.console.venue import Wishes, _operate, _operate_in_lines, broker_of
from broadcaster.console.venue_screen import VenueScreen
from broadcaster.console.venue_words import line_of, row_of, rows_of, too_close_words
from broadcaster.errors import StationError, UsageError
from broadcaster.room import mqtt_topics
from broadcaster.room.mqtt_venue import Word
from broadcaster.units import RATE

MANUAL = Path(broadcaster.__file__).parent / "manual"
WELL: Mapping[str, Any] = {
    "station": "on air",
    "programme": "Low Water",
    "callsign": "Heron",
    "frequency": 91.3e6,
    "session": "on air",
    "segment": "watch",
    "clock": {"frame": 2 * RATE, "session_frames": 60 * RATE, "running": True},
    "output": {"heard_frame": 12 * RATE, "playing": True, "underruns": 0},
    "milestones": {"lamp": "met", "gate": "open"},
    "plain_voice": None,
}


class Line:
    """A venue's line, with what it knows at second 100."""

    trouble = ""
    known_s = 100.0

    def __init__(self, **stations: Mapping[str, Any]) -> None:
        self._words = [
            Word(name, record, record.get("heard_s", 99.0), kept=False)
            for name, record in stations.items()
        ]

    def stations(self) -> list[Word]:
        return self._words


def shown(line: Line, keys: Sequence[str] = (), size: tuple[int, int] = (100, 14)) -> Any:
    """The screen's rows after some keys, and what it ended with."""

    async def run() -> tuple[list[str], str | None]:
        screen = VenueScreen("VENUE venue", line)  # type: ignore[arg-type]
        async with screen.run_test(size=size) as pilot:
            await pilot.pause()
            screen.draw()
            await pilot.press(*keys)
            await pilot.pause()
            screen.draw()
            return [plain(row) for row in screen.sheet.shown], screen.return_value

    return asyncio.run(run())


@pytest.mark.parametrize(
    ("change", "state", "alarm"),
    [
        ({}, "on air", False),
        ({"session": "held"}, "held", False),
        ({"session": "stand by", "segment": None}, "stands by", False),
        ({"station": "closed"}, "off air", False),
        ({"station": "offline"}, "NO WORD: its desk is not heard", True),
        ({"heard_s": 90.0}, "SILENT: it tells nothing any more", True),
        (
            {"milestones": {"lamp": "stalled", "gate": "overdue"}},
            "stalled: lamp; overdue: gate",
            True,
        ),
        (
            {"output": {"heard_frame": 0, "playing": False, "underruns": 2}},
            "OUTPUT STOPPED; 2 underruns",
            True,
        ),
        ({"plain_voice": "Please leave"}, "PLAIN VOICE", True),
    ],
)
def test_each_state_has_its_words(change, state, alarm) -> None:
    """And those that need somebody are marked."""
    line = Line(heron={**WELL, **change})
    (row,) = rows_of(line)  # type: ignore[arg-type]
    assert (row.state, row.alarm) == (state, alarm)


def test_the_sessions_clock_goes_on_from_what_was_told() -> None:
    """60 s at frame 2 s; 12 s were heard a second ago: 71 s."""
    (word,) = Line(heron=WELL).stations()
    assert row_of(word, 100.0).clock == "1:11"
    assert row_of(word, 999.0).clock == "1:15"  # what is not told any more is not made up
    assert line_of(row_of(word, 100.0)) == "Heron (heron), Low Water, watch, session 1:11, on air"


def test_the_list_shows_all_stations_and_enter_opens_the_chosen_one() -> None:
    """By arrow, by figure; what is to be looked at is marked and counted."""
    tern = {**WELL, "callsign": "Tern", "frequency": 104e6, "milestones": {"lamp": "stalled"}}
    line = Line(heron=WELL, tern=tern)
    rows, _ = shown(line)
    assert "2 stations, 1 to look at" in rows[0]
    assert rows[4].startswith("▸ 1  Heron       watch               1:11     on air")
    assert rows[5].startswith("  2 !Tern        watch               1:11     stalled: lamp")
    assert rows[1].index("1") < rows[1].index("2")
    assert shown(line, ["enter"])[1] == "heron"
    assert shown(line, ["down", "enter"])[1] == "tern"
    assert shown(line, ["2", "enter"])[1] == "tern"
    assert shown(line, ["ctrl+q"])[1] is None


def test_stations_too_close_to_each_other_are_seen() -> None:
    """On the same frequency, or nearer than 0.4 MHz: both are drawn, and the head tells it."""
    dials = {(91.3, 91.3): "1,2", (91.3, 91.6): "1,2", (91.6, 91.3): "2,1", (91.3, 91.7): ""}
    for (one, other), drawn in dials.items():
        line = Line(
            heron={**WELL, "frequency": one * 1e6},
            tern={**WELL, "callsign": "Tern", "frequency": other * 1e6},
        )
        rows, _ = shown(line)
        assert ("2 stations, 2 too close on the dial" in rows[0]) == bool(drawn)
        assert ("all well" in rows[0]) != bool(drawn)
        assert drawn in rows[1]
        assert {"1", "2"} <= set(rows[1])
        crowd = too_close_words(rows_of(line))  # type: ignore[arg-type]
        assert ("Tern at" in crowd) == bool(drawn)


def test_numbers_at_the_end_of_the_dial_stay_on_it() -> None:
    """And a station that tells no frequency is not drawn."""
    many = {f"room{n}": {**WELL, "frequency": 108e6} for n in range(5)}
    rows, _ = shown(Line(**many, silent={**WELL, "frequency": None}))
    assert rows[1].endswith("·1,2,3,4,5  ")
    assert "5 too close on the dial" in rows[0]


def test_more_stations_than_rows_are_moved_past_the_chosen_one() -> None:
    """Twenty rooms on a small terminal: the chosen one is always there."""
    many = {f"room{number:02}": {**WELL, "callsign": f"Room{number:02}"} for number in range(20)}
    for keys, seen in ((["end"], "Room19"), (["home"], "Room00"), (["down"] * 9, "Room09")):
        rows, _ = shown(Line(**many), keys, (60, 12))
        assert any(row.startswith("▸") and seen in row for row in rows), rows
        assert all(len(row) == 60 for row in rows)


def test_a_station_that_does_not_answer_is_waited_for_aloud(capsys) -> None:
    """In lines and on the screen: nobody sits before a silent window."""

    class Mute(Line):
        def open(self, station: str) -> None:
            raise StationError(f"The station `{station}` does not answer.")

    for operate in (_operate_in_lines, _operate):
        with pytest.raises(StationError):
            operate(Mute(), "nix", SystemClock())  # type: ignore[arg-type]
        told = capsys.readouterr().out
        assert told == "Waiting for the station `nix` to answer, for 10 s at most.\n"


@pytest.mark.parametrize(
    ("text", "host", "port"),
    [
        ("desk.example", "desk.example", 1883),
        ("desk.example:1884", "desk.example", 1884),
        ("[2001:db8::1]:1884", "2001:db8::1", 1884),
        ("2001:db8::1", "2001:db8::1", 1883),
    ],
)
def test_a_broker_is_a_host_and_perhaps_a_port(text, host, port) -> None:
    """The port is 8883 where the line is encrypted."""
    broker = broker_of(Wishes(text, "venue"))
    assert (broker.host, broker.port) == (host, port)
    assert broker_of(Wishes("desk.example", "venue", tls="")).port == 8883


def test_what_cannot_be_a_broker_is_refused() -> None:
    """In a sentence, before anything is opened."""
    with pytest.raises(UsageError, match="a port is a number"):
        broker_of(Wishes("desk.example:mqtt", "venue"))
    with pytest.raises(UsageError, match="needs a user"):
        broker_of(Wishes("desk.example", "venue", password_file="word"))


def test_the_manual_has_every_topic_and_every_option() -> None:
    """Nothing that a station says on a broker, and nothing that can be typed, is left out."""
    page = (MANUAL / "mqtt.md").read_text()
    for level in ("fact", "facts", "command", "status", "programme", "as-run", "happened", "key"):
        assert level in vars(mqtt_topics).values()
        assert f"`{level}" in page
    venue = parser(RUNS)._subparsers._group_actions[0].choices["venue"]  # type: ignore[union-attr,index]
    page = (MANUAL / "venue.md").read_text()
    for option in venue._option_string_actions:
        if option.startswith("--") and option != "--help":
            assert f"`{option}" in page
