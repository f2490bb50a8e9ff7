"""How things stand, from what a whole session tells."""

import json

from broadcaster.air.playout import Playout
from broadcaster.room.status import Status
from broadcaster.story.events import (
    EndSession,
    Hold,
    InEvent,
    Jump,
    PlainVoice,
    Resume,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
    StationClosed,
    StopPlainVoice,
)
from broadcaster.units import RATE
from tests.air.make import CountedItems, busy_session

PROGRAMME = busy_session()


def after(*events: tuple[float, InEvent], seconds: float = 3.0) -> dict:
    """How things stand after a session with these events, each at its second."""
    playout, status = Playout(PROGRAMME, CountedItems()), Status(PROGRAMME)
    for second, event in ((0.0, StartSession()), *events):
        playout.receive(event, round(second * RATE))
    list(playout.run(round(seconds * RATE)))
    for event in playout.take_events():
        status.hear(event)
    return status.as_record()


def test_before_anything_is_told_the_programme_is_known() -> None:
    """Its name, its segments, and every fact as it is at first."""
    record = Status(PROGRAMME).as_record()
    assert (record["callsign"], record["session"], record["segment"]) == ("Test", "stand by", None)
    assert record["segments"] == ["watch", "gate"]
    assert record["facts"] == {"lamp": False, "warned": False, "crates": 0}
    assert record["milestones"] == {"lamp": "open"}


def test_a_session_on_air() -> None:
    """What is on air, what comes, what is late, and what a hint would say."""
    record = after((0.5, SetFact("crates", 2, "room")))
    assert (record["session"], record["segment"]) == ("on air", "watch")
    assert record["facts"]["crates"] == 2
    assert record["milestones"] == {"lamp": "stalled"}
    assert record["on_air"]["segment"] == "watch"
    assert set(record["next"][0]) == {"segment", "item", "text"}
    assert record["hint"] is None or set(record["hint"]) == {"rung", "of", "text"}


def test_a_session_held_and_resumed_and_ended() -> None:
    """In one word."""
    assert after((1.0, Hold()))["session"] == "held"
    assert after((1.0, Hold()), (2.0, Resume()))["session"] == "on air"
    ended = after((1.0, EndSession()))
    assert (ended["session"], ended["segment"]) == ("ended", None)
    assert ended["clock"]["running"] is False


def test_what_waits_and_the_plain_voice() -> None:
    """A jump until it is made, the plain voice until it stops."""
    assert after((2.9, Jump("gate")))["jump"] == {"segment": "gate", "timing": "after item"}
    assert after((1.0, Jump("gate")))["jump"] is None
    assert after((1.0, PlainVoice("Leave.")))["plain_voice"] == "Leave."
    assert after((1.0, PlainVoice("Leave.")), (2.0, StopPlainVoice()))["plain_voice"] is None


def test_how_the_broadcast_is_to_be_received() -> None:
    """Full signal as the script says, until the operator says otherwise, and takes it back."""
    assert after()["signal"] == {"strength": 5.0, "why": "the script"}
    assert after()["readability"] is None
    said = (1.0, SetSignal(2.5)), (1.0, SetReadability(3.0))
    assert after(*said)["signal"] == {"strength": 2.5, "why": "the operator"}
    assert after(*said)["readability"] == 3.0
    back = (2.0, SetSignal(None)), (2.0, SetReadability(None))
    assert after(*said, *back)["signal"] == after()["signal"]
    assert after(*said, *back)["readability"] is None


def test_it_is_plain_and_can_be_changed_by_nobody_else() -> None:
    """Any JSON writer takes it; whoever changes what was given changes nothing here."""
    status = Status(PROGRAMME)
    record = status.as_record()
    json.dumps(record, allow_nan=False)
    record["facts"]["lamp"] = True
    assert status.as_record()["facts"]["lamp"] is False


def test_a_station_that_has_closed_says_so() -> None:
    """Its last word."""
    status = Status(PROGRAMME)
    status.hear(StationClosed(5))
    assert status.as_record()["station"] == "closed"
