"""A venue by its broker: its stations, and the operator's door to any of them."""

from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest

from broadcaster.clock import SystemClock
from broadcaster.console.venue_words import row_of
from broadcaster.errors import StationError
from broadcaster.room import mqtt_venue
from broadcaster.room.mqtt_line import Broker as Address
from broadcaster.room.mqtt_remote import RemoteAiring
from broadcaster.room.mqtt_venue import VenueLine
from broadcaster.story.events import (
    CloseStation,
    Commanded,
    GiveHint,
    Jump,
    JumpTiming,
    OutputState,
    Refused,
    SegmentEntered,
    SetFact,
    StationClosed,
    Trouble,
)
from tests.room.broker import Broker, wait_until
from tests.room.mqtt_line import OPENED, STANDING, is_on_air, on_air, somebody
from tests.services import needs

pytestmark = needs("mosquitto")
SILENT = float("-inf")


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[Broker]:
    broker = Broker(tmp_path)
    broker.start()
    yield broker
    broker.stop()


@contextmanager
def venue_of(broker: Broker, version: str = "5") -> Iterator[VenueLine]:
    line = VenueLine(Address(broker.address, broker.port, version), "venue", SystemClock())
    line.start()
    try:
        yield line
    finally:
        line.close()


def read(remote: RemoteAiring, kind: type, into: list[Any]) -> list[Any]:
    """What came of a kind so far."""
    into += remote.events()
    return [event for event in into if isinstance(event, kind)]


@pytest.mark.parametrize("version", ["5", "3.1.1"])
def test_a_console_far_away_knows_all_and_operates(broker, tmp_path, version) -> None:
    """It is told how things stand and what happens; what its operator does comes in once."""
    with on_air(broker, tmp_path, version=version) as station, venue_of(broker, version) as line:
        station.room.hear(STANDING, False)
        wait_until(lambda: [word.name for word in line.stations()] == ["test"])
        programme, remote = line.open("test")
        assert list(programme.segments) == ["watch", "the gate"]
        told: list[Any] = []
        wait_until(lambda: len(read(remote, object, told)) >= len(STANDING))
        assert told == STANDING
        state = OutputState(48_000, 47_000, "silent", True, 0, 2048, SILENT, -30.5)
        station.room.hear([state], True)
        wait_until(lambda: read(remote, OutputState, told))
        assert told[-1] == state
        remote.send(Jump("the gate", JumpTiming.NOW))
        remote.send(SetFact("lamp", True))
        wait_until(lambda: len(station.sent) == 2)
        assert station.sent[0] == Jump("the gate", JumpTiming.NOW)
        assert station.sent[1] == SetFact("lamp", True, f"mqtt {remote.name}, by hand")
        remote.send(CloseStation())
        assert remote.over
        line.leave()
        assert station.reports == [Commanded(0, f"mqtt {remote.name}", "jump (the gate, now)")]


def test_a_console_sees_that_the_line_is_lost_and_that_it_is_back(broker, tmp_path) -> None:
    """What is done meanwhile is refused and never sent later; then it knows all again."""
    with on_air(broker, tmp_path) as station, venue_of(broker) as line:
        station.room.hear(STANDING, False)
        _, remote = line.open("test")
        told: list[Any] = []
        broker.stop()
        wait_until(lambda: any("The line" in one.sentence for one in read(remote, Trouble, told)))
        assert line.trouble
        remote.send(GiveHint())
        (refused,) = read(remote, Refused, told)
        assert refused.sentence.startswith("Nothing was sent. The line to the broker")
        station.room.hear([SegmentEntered(99, "the gate", "jump")], True)
        told.clear()
        broker.start()
        wait_until(lambda: SegmentEntered(99, "the gate", "jump") in read(remote, object, told))
        wait_until(lambda: not line.trouble and not remote.anew)
        assert OPENED in told
        remote.send(GiveHint())
        wait_until(lambda: station.sent)
        assert station.sent == [GiveHint()]


def test_a_station_that_does_not_answer_is_told_with_those_that_are_known(
    broker, tmp_path, monkeypatch
) -> None:
    """Its name may have been written wrongly."""
    monkeypatch.setattr(mqtt_venue, "OPENING_S", 0.1)
    with on_air(broker, tmp_path), venue_of(broker) as line:
        wait_until(lambda: line.stations())
        with pytest.raises(StationError, match=r"`tset` does not answer\. Did you mean `test`\?"):
            line.open("tset")


def test_a_console_sees_that_the_station_closed(broker, tmp_path) -> None:
    """Its last word is the console's last, too."""
    with venue_of(broker) as line:
        with on_air(broker, tmp_path) as station:
            station.room.hear(STANDING, False)
            _, remote = line.open("test")
            station.room.hear([StationClosed(99)], True)
        told: list[Any] = []
        wait_until(lambda: read(remote, StationClosed, told))
        assert remote.over
        wait_until(
            lambda: [row_of(word, word.heard_s).state for word in line.stations()] == ["off air"]
        )


def test_who_leaves_with_an_order_on_its_way_leaves_nothing_behind(broker, tmp_path) -> None:
    """Nothing is left pending, of which the event loop would complain on the terminal."""
    with on_air(broker, tmp_path) as station:
        station.room.hear(STANDING, False)
        with venue_of(broker) as line:
            orders = line._orders
            _, remote = line.open("test")
            broker.stall()
            remote.send(GiveHint())
            wait_until(lambda: orders)
        broker.go_on()
    assert not orders


def test_two_stations_of_one_name_are_told_so(broker, tmp_path) -> None:
    """Each, once: nobody could tell them apart."""
    playing = OutputState(0, 0, "silent", True, 0, 0, -20.0, -30.0)
    with on_air(broker, tmp_path) as one, on_air(broker, tmp_path) as other:

        def both_know() -> bool:
            for station in (one, other):
                station.room.hear([playing], True)  # as a station does ten times a second
            return bool(one.troubles and other.troubles)

        wait_until(both_know)
        for station in (one, other):
            assert "Another station is `test`" in station.troubles[0]
            assert len(station.troubles) == 1


def test_a_stranger_may_not_command_as_a_console(broker, tmp_path) -> None:
    """Who has not asked how things stand cannot know what an order would do."""
    with somebody(broker) as room, on_air(broker, tmp_path) as station:
        wait_until(lambda: is_on_air(room))
        room.say("venue/test/console/x/command", '{"event": "give hint"}')
        wait_until(lambda: station.refused)
        assert "has not asked" in station.refused[0]
        assert not station.sent
