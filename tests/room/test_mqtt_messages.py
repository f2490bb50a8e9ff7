"""What goes between a station and a broker, with no broker between."""

import json
from pathlib import Path

from hypothesis import given, settings
from hypothesis import strategies as st

from broadcaster.clock import VirtualClock
from broadcaster.console.board import Board
from broadcaster.console.venue_words import row_of
from broadcaster.room.commands import message_of
from broadcaster.room.mqtt_consoles import MOST_CONSOLES, Consoles
from broadcaster.room.mqtt_inlet import Inlet
from broadcaster.room.mqtt_programme import programme_from, programme_record
from broadcaster.room.mqtt_remote import RemoteAiring
from broadcaster.room.mqtt_topics import level_of
from broadcaster.room.mqtt_venue import Word
from broadcaster.script.loading import load_programme
from broadcaster.script.venue_settings import FactSettings
from broadcaster.story.events import FactChanged, SegmentEntered, SessionStarted, SetFact
from broadcaster.story.standing import Standing
from tests.room.make import intake_of
from tests.room.mqtt_line import OPENED, STANDING

DEMO = Path(__file__).parents[2] / "scripts" / "low-water.yaml"


SINGLE = st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20)
JSON = SINGLE | st.lists(SINGLE, max_size=3) | st.dictionaries(st.text(max_size=9), SINGLE)
SAID = st.one_of(
    st.binary(max_size=60),
    JSON.map(lambda value: json.dumps(value).encode()),
    st.dictionaries(
        st.sampled_from(["event", "segment", "fact", "value", "text", "id", "timing"]),
        st.sampled_from(["jump", "set fact", "announce", "lamp", "watch"]) | JSON,
    ).map(lambda value: json.dumps(value).encode()),
)
NUMBERS = st.fixed_dictionaries(dict.fromkeys(("session_frames", "frame", "heard_frame"), SINGLE))
KEYS = ("station", "session", "clock", "output", "milestones", "callsign", "frequency", "segment")


def test_topics_of_facts_report_and_a_command_sets_by_hand() -> None:
    """The settings turn round what a sensor reports, by either name; a hand's value is as it is."""
    intake, station, _ = intake_of(lamp=FactSettings(named="reed 7", inverted=True))
    inlet = Inlet(intake)
    inlet.fact("reed 7", b"off", kept=False)
    inlet.facts(b'{"lamp": false}', kept=False)
    inlet.command(b'{"event": "set fact", "fact": "lamp", "value": false}', kept=False)
    console = "mqtt desk-3f1c"
    order = json.dumps(message_of(SetFact("lamp", True)))
    inlet.command(order.encode(), kept=False, source=console)
    assert station.sent == [
        SetFact("lamp", True, "mqtt"),
        SetFact("lamp", True, "mqtt"),
        SetFact("lamp", False, "mqtt, by hand"),
        SetFact("lamp", True, f"{console}, by hand"),
    ]


def test_a_programme_is_the_same_for_a_console_far_away() -> None:
    """The demo's board shows the same, wherever it is: ways out, warnings, facts, milestones."""
    programme = load_programme(str(DEMO))
    record = json.loads(json.dumps(programme_record(programme)))
    clock = VirtualClock()
    boards = [Board(one, clock) for one in (programme, programme_from(record))]
    segments = list(programme.segments)
    for segment in segments:
        for board in boards:
            for event in (OPENED, SessionStarted(0), SegmentEntered(0, segment, "jump")):
                board.apply(event)
        here, there = (board.view() for board in boards)
        assert here == there
        assert here.segment == segment
    assert not list(programme_from(record).items())  # nothing of what is said goes out


def test_a_console_that_missed_something_is_told_anew() -> None:
    """A package that does not follow on the last is worth nothing."""
    standing = Standing()
    for event in STANDING:
        standing.hear(event)
    consoles = Consoles(standing)
    remote = RemoteAiring("test", lambda remote, message: None)
    consoles.ask("far", anew=True, now_s=0.0)

    def pass_on(*, lose: bool = False) -> None:
        for _, package in consoles.take(0.0):
            if not lose:
                remote.hear(json.loads(package))

    pass_on()
    assert remote.events() == STANDING
    consoles.tell(SegmentEntered(5, "the gate", "jump"))
    pass_on(lose=True)
    consoles.tell(FactChanged(6, "lamp", True, "http"))
    pass_on()
    assert remote.events() == []
    assert remote.anew
    consoles.ask("far", anew=True, now_s=1.0)
    pass_on()
    assert remote.events() == STANDING
    assert not remote.anew


def test_only_so_many_consoles_are_told_and_who_asks_no_more_is_forgotten() -> None:
    """Nothing grows without bounds."""
    consoles = Consoles(Standing())
    asked = [consoles.ask(f"{n}", anew=True, now_s=0.0) for n in range(MOST_CONSOLES + 1)]
    assert asked == [True] * MOST_CONSOLES + [False]
    assert consoles.ask("late", anew=True, now_s=13.0)
    assert [name for name, _ in consoles.take(13.0)] == ["late"]


@settings(max_examples=100)
@given(st.sampled_from(["lamp", "crates", "x/y", ""]), SAID, st.booleans())
def test_whatever_a_broker_brings_is_taken_or_refused(name, payload, kept) -> None:
    """Never an error; and what is refused has changed nothing."""
    intake, station, _ = intake_of()
    inlet = Inlet(intake)
    inlet.fact(name, payload, kept=kept)
    inlet.facts(payload, kept=kept)
    inlet.command(payload, kept=kept)
    intake.pump()
    if kept:
        assert all(isinstance(event, SetFact) for event in station.sent)
    for event in station.sent:
        if isinstance(event, SetFact):
            assert event.fact in ("lamp", "crates", "gate")
    assert len(station.reports) <= 1


@settings(max_examples=50)
@given(st.dictionaries(st.sampled_from(KEYS), JSON | NUMBERS))
def test_whatever_calls_itself_a_station_is_shown_somehow(record) -> None:
    """A list that somebody else's message could break would be no list of a venue."""
    row = row_of(Word("x", record, 0.0, kept=False), 1.0)
    assert row.state.isprintable()
    assert row.callsign


def test_a_callsign_becomes_a_level() -> None:
    """Whatever it is, it is one level, and no wildcard."""
    assert level_of("Heron Light") == "heron-light"
    assert level_of("Möwe/1+#") == "möwe-1"
    assert level_of("+") == "station"
