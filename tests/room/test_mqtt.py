"""A station's line to a real broker."""

import errno
import json
import os
import socket
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

from broadcaster.story.events import (
    Announce,
    Commanded,
    GiveHint,
    Keyed,
    OutputState,
    SegmentEntered,
    SetFact,
    StartSession,
    StationClosed,
)
from tests.end_to_end.sockets import network_sockets
from tests.room.broker import PASSWORD, USER, Broker, wait_until
from tests.room.mqtt_line import is_on_air, on_air, somebody, statuses
from tests.services import needs

pytestmark = needs("mosquitto", "openssl")
VERSIONS = ("5", "3.1.1")


@pytest.fixture
def broker(tmp_path: Path) -> Iterator[Broker]:
    broker = Broker(tmp_path)
    broker.start()
    yield broker
    broker.stop()


@pytest.mark.parametrize("version", VERSIONS)
def test_facts_and_commands_come_in_and_what_happens_goes_out(broker, tmp_path, version) -> None:
    """By topic or together, under the outside name; in either version of the protocol."""
    with somebody(broker) as room, on_air(broker, tmp_path, version=version) as station:
        wait_until(lambda: is_on_air(room))
        room.say("venue/test/fact/lamp", "on")
        room.say("venue/test/fact/fen/gate 1", "ajar", qos=0)
        room.say("venue/test/facts", '{"crates": 3, "lamp": false}')
        room.say("venue/test/command", '{"event": "announce", "text": "Hello", "now": true}')
        wait_until(lambda: len(station.sent) == 5)
        assert station.facts == [("lamp", True), ("gate", "ajar"), ("crates", 3), ("lamp", False)]
        assert station.commands == [Announce("Hello", now=True)]
        assert {event.source for event in station.sent if isinstance(event, SetFact)} == {"mqtt"}
        station.room.hear([SegmentEntered(5, "the gate", "jump")], True)
        wait_until(lambda: room.on("venue/test/as-run/segment-entered"))
        (record,) = room.on("venue/test/as-run/segment-entered")
        assert json.loads(record)["segment"] == "the gate"
        wait_until(lambda: room.on("venue/test/happened/segment_entered") == [b'["the gate"]'])
        wait_until(lambda: statuses(room)[-1]["segment"] == "the gate")
        assert station.reports == [Commanded(0, "mqtt", "announce (Hello, now)")]


def test_the_key_of_the_morse_is_told_as_it_is_heard(broker, tmp_path) -> None:
    """`1` while it is down, `0` while it is up, which it is at first: a lamp needs no more."""
    marks = tuple((at, at + 1000) for at in range(4_800, 24_000, 4_800))
    with somebody(broker) as room, on_air(broker, tmp_path) as station:
        wait_until(lambda: is_on_air(room))
        now_s = time.monotonic()
        heard = OutputState(0, 0, "test", True, 0, 0, -20.0, -26.0, now_s, 0.0)
        station.room.hear([Keyed(0, marks), heard], True)
        wait_until(lambda: len(room.on("venue/test/key")) == 1 + 2 * len(marks))
        assert room.on("venue/test/key") == [b"0", *[b"1", b"0"] * len(marks)]


@pytest.mark.skipif(not Path("/proc/net/tcp").exists(), reason="needs Linux's /proc")
def test_nothing_listens_for_it_on_this_machine(broker, tmp_path) -> None:
    """The station calls the broker, by one line; nobody can call it there."""
    with somebody(broker) as room:
        before = network_sockets(os.getpid())
        with on_air(broker, tmp_path):
            wait_until(lambda: is_on_air(room))
            (ours,) = set(network_sockets(os.getpid())) - set(before)
            with socket.socket() as caller:
                assert ours[0] == "tcp"
                assert caller.connect_ex(ours[1:]) == errno.ECONNREFUSED
        wait_until(lambda: ours not in network_sockets(os.getpid()))


def test_what_cannot_be_read_changes_nothing_and_is_told_once(broker, tmp_path) -> None:
    """Of one source one sentence in ten seconds, whatever comes."""
    nonsense = [
        ("fact/lamp", b"\xff\xfe"),
        ("fact/lamp", b"perhaps"),
        ("fact/lmap", b"on"),
        ("fact/crates", b"9" * 5000),
        ("facts", b"[1]"),
        ("facts", b'{"lamp": {"on": 1}, "crates": NaN}'),
        ("facts", b"[" * 60_000),
        ("command", b'{"event": "jump"}'),
        ("command", b'{"event": "give hint", "id": []}'),
        ("command", b"x" * 65_537),
        ("console/nobody/command", b'{"event": "give hint"}'),
    ]
    with somebody(broker) as room, on_air(broker, tmp_path) as station:
        wait_until(lambda: is_on_air(room))
        for below, payload in nonsense:
            room.say(f"venue/test/{below}", payload)
        room.say("venue/test/fact/lamp", "on")
        wait_until(lambda: station.sent)
        assert station.facts == [("lamp", True)]
        assert station.refused == ["mqtt: fact `lamp`: this is no text in UTF-8."]


@pytest.mark.parametrize("version", VERSIONS)
def test_a_kept_fact_is_a_state_and_a_kept_command_is_stale(broker, tmp_path, version) -> None:
    """The broker kept both: the fact is taken, once; the command is refused, in a sentence."""
    with somebody(broker) as room:
        room.say("venue/test/fact/lamp", "on", retain=True)
        room.say("venue/test/command", '{"event": "start session"}', retain=True)
        with on_air(broker, tmp_path, version=version) as station:
            wait_until(lambda: station.facts and station.refused)
            assert station.facts == [("lamp", True)]
            assert not station.commands
            assert "was not obeyed" in station.refused[0]
            room.say("venue/test/command", '{"event": "start session"}', retain=True)
            wait_until(lambda: station.commands)  # this one came as it was sent
            broker.stop()
            room.heard.clear()
            broker.start()
            wait_until(lambda: is_on_air(room))
            room.say("venue/test/fact/crates", "1")
            wait_until(lambda: ("crates", 1) in station.facts)
            assert station.facts == [("lamp", True), ("crates", 1)]
            assert station.commands == [StartSession()]


def test_a_command_that_comes_twice_is_obeyed_once_if_it_has_an_id(broker, tmp_path) -> None:
    """As a sender at QoS 1 may send it again; without an id nobody can know."""
    with somebody(broker) as room, on_air(broker, tmp_path) as station:
        wait_until(lambda: is_on_air(room))
        for _ in range(3):
            room.say("venue/test/command", '{"event": "give hint", "id": "a1"}')
        room.say("venue/test/command", '{"event": "give hint", "id": 2}')
        for _ in range(2):
            room.say("venue/test/command", '{"event": "give hint"}')
        room.say("venue/test/fact/lamp", "1")
        wait_until(lambda: station.facts)
        assert station.commands == [GiveHint()] * 4


def test_the_line_comes_back_by_itself_and_that_is_told(broker, tmp_path) -> None:
    """The broker stops twice in mid-session; what happened meanwhile is told afterwards."""
    with somebody(broker) as room, on_air(broker, tmp_path) as station:
        wait_until(lambda: is_on_air(room))
        for number in (1, 2):
            broker.stop()
            wait_until(lambda n=number: len(station.troubles) == 2 * n - 1)
            station.room.hear([SegmentEntered(number, f"{number}", "jump")], True)
            broker.start()
            wait_until(lambda n=number: len(room.on("venue/test/as-run/segment-entered")) == n)
        room.say("venue/test/fact/lamp", "on")
        wait_until(lambda: station.facts)
        assert len(station.troubles) == 4
        for lost, back in zip(station.troubles[::2], station.troubles[1::2], strict=True):
            assert lost.startswith("The room's `mqtt` failed: The line to the broker")
            assert back == "The room's `mqtt` is back."


def test_who_may_not_publish_is_told_so_once(tmp_path) -> None:
    """By the broker's answers (MQTT 5.0, 3.4.2.1): the station would else look absent."""
    broker = Broker(tmp_path, rights="topic read venue/#\n")
    broker.start()
    try:
        with on_air(broker, tmp_path) as station:
            wait_until(lambda: station.troubles)
            for number in range(3):
                station.room.hear([SegmentEntered(number, "watch", "jump")], True)
            time.sleep(0.3)
            (told,) = station.troubles
        assert "does not let us publish" in told
        assert "all below `venue/test`" in told
    finally:
        broker.stop()


def test_a_broker_that_only_stalls_is_waited_for(broker, tmp_path) -> None:
    """As where the network is cut for a while: then all is told, and nothing was noticed."""
    with somebody(broker) as room, on_air(broker, tmp_path) as station:
        wait_until(lambda: is_on_air(room))
        broker.stall()
        for number in range(50):
            station.room.hear([SegmentEntered(number, "watch", "jump")], True)
        time.sleep(1.0)
        broker.go_on()
        wait_until(lambda: len(room.on("venue/test/as-run/segment-entered")) == 50)
        assert not station.reports


def test_the_last_words_and_the_last_will_differ(broker, tmp_path) -> None:
    """A station that closes says so; of one that is cut off the broker says that it is offline."""
    with somebody(broker) as room:
        with on_air(broker, tmp_path) as station:
            wait_until(lambda: is_on_air(room))
            station.room.hear([StationClosed(99)], True)
        wait_until(lambda: room.on("venue/test/as-run/station-closed"))
        wait_until(lambda: statuses(room)[-1]["station"] == "closed")
        with on_air(broker, tmp_path):
            wait_until(lambda: is_on_air(room))
        wait_until(lambda: statuses(room)[-1]["station"] == "offline")


def test_a_certificate_for_another_name_is_told_as_that(tmp_path) -> None:
    """Whoever vouches for it is not to blame."""
    broker = Broker(tmp_path, address="127.0.0.2", secured=True)
    broker.start()
    try:
        section = {"encrypted": True, "authority_file": "authority.pem"}
        with on_air(broker, tmp_path, **section) as station:
            wait_until(lambda: station.troubles)
        assert "has a certificate for another name than `127.0.0.2`" in station.troubles[0]
    finally:
        broker.stop()


def test_the_broker_must_be_the_right_one_and_the_password_too(tmp_path) -> None:
    """TLS with an authority of our own; each thing that is wrong is told in one sentence."""
    broker = Broker(tmp_path, secured=True)
    broker.start()
    (tmp_path / "word").write_text(f"{PASSWORD}\n")
    (tmp_path / "wrong").write_text("eighteen herons\n")
    good = {
        "broker": "localhost",
        "encrypted": True,
        "authority_file": "authority.pem",
        "user": USER,
        "password_file": "word",
    }
    try:
        with somebody(broker) as room, on_air(broker, tmp_path, **good) as station:
            wait_until(lambda: is_on_air(room))
            room.say("venue/test/fact/lamp", "on")
            wait_until(lambda: station.facts)
            assert not station.reports
        for wrong, sentence in (
            ({"password_file": "wrong"}, f"does not let in the user `{USER}` and this password."),
            ({"version": "3.1.1", "password_file": "wrong"}, "does not let in the user"),
            ({"user": None, "password_file": None}, "does not let in us without a user."),
            ({"authority_file": None}, "a certificate that this machine does not vouch for."),
            ({"password_file": "./lost"}, "cannot be read"),
        ):
            with on_air(broker, tmp_path, **{**good, **wrong}) as station:
                wait_until(lambda at=station: at.troubles)
                assert sentence in station.troubles[0], station.troubles
                assert PASSWORD not in str(station.reports)
    finally:
        broker.stop()
