"""What lights and locks are told of, out of a whole session."""

import re
from pathlib import Path

import broadcaster
from broadcaster.air.playout import Playout
from broadcaster.room.tidings import _VALUES, Tidings
from broadcaster.story.events import (
    Announce,
    EndSession,
    GiveHint,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    OutputState,
    PlainVoice,
    Resume,
    SetFact,
    StartSession,
    StopPlainVoice,
    name_of,
)
from broadcaster.units import RATE
from tests.air.make import CountedItems, busy_session, watch_and_gate

MANUAL = Path(broadcaster.__file__).parent / "manual" / "room.md"


def told(programme, *events: tuple[float, InEvent], seconds: float) -> list[tuple]:
    """Each tiding of a session that begins at once, as its name and its values."""
    playout, tidings = Playout(programme, CountedItems()), Tidings()
    for second, event in ((0.0, StartSession()), *events):
        playout.receive(event, round(second * RATE))
    list(playout.run(round(seconds * RATE)))
    found = [tidings.of(event) for event in playout.take_events()]
    return [(one.name, *one.values) for one in found if one]


def test_a_session_in_tidings() -> None:
    """Segments, facts, milestones, a team that has stalled, its hints: in their order."""
    session = told(
        busy_session(), (8.0, SetFact("lamp", True, "room")), (11.0, EndSession()), seconds=12.0
    )
    assert session[:2] == [("session_started",), ("segment_entered", "watch")]
    assert ("fact_changed", "warned", True) in session
    assert session.index(("stalled", "lamp")) < session.index(("hint_given", 1, 2, "watch"))
    after = session[session.index(("fact_changed", "lamp", True)) :]
    assert after[1] == ("milestone_met", "lamp")
    assert ("segment_entered", "gate") in after
    assert session[-1] == ("session_ended", "the operator")


def test_a_clue_is_told_when_it_was_heard_whole() -> None:
    """Not when a jump has cut it."""
    assert ("clue_aired", "two") in told(watch_and_gate(), seconds=2.5)
    cut = told(watch_and_gate(), (1.5, Jump("gate", JumpTiming.NOW)), seconds=2.5)
    assert ("segment_entered", "gate") in cut
    assert not any(tiding[0] == "clue_aired" for tiding in cut)


def test_holding_and_the_plain_voice() -> None:
    """A light that says: stop."""
    session = told(
        watch_and_gate(),
        (0.2, Hold()),
        (0.4, Resume()),
        (0.6, PlainVoice()),
        (3.0, StopPlainVoice()),
        seconds=4.0,
    )
    assert [tiding[0] for tiding in session[2:]] == [
        *("held", "resumed", "held", "plain_voice_started", "plain_voice_stopped")
    ]


def test_a_dead_output_is_told_once_and_so_is_its_return() -> None:
    """Not ten times a second, as the output's state is."""
    tidings = Tidings()

    def state(*, playing: bool) -> OutputState:
        return OutputState(0, 0, "a card", playing, 0, 0, -20.0, -30.0)

    found = [tidings.of(state(playing=playing)) for playing in (True, True, False, False, True)]
    assert [one and one.name for one in found] == [None, None, "output_lost", None, "output_back"]


def test_what_is_only_for_the_moment_is_not_told() -> None:
    """An announcement changes no light, and neither does what comes next."""
    session = told(watch_and_gate(), (0.2, Announce("Step back.")), (0.3, GiveHint()), seconds=0.9)
    assert [tiding[0] for tiding in session] == ["session_started", "segment_entered"]


def test_the_manual_has_them_all() -> None:
    """A row for each name, and none too many."""
    rows = re.findall(r"^\| `([a-z_]+)` \|", MANUAL.read_text(), re.MULTILINE)
    names = {name_of(kind).replace(" ", "_") for kind in _VALUES}
    assert set(rows) - {"http", "mqtt", "osc", "serial", "lamp"} == names | {
        "clue_aired",
        "output_lost",
        "output_back",
    }
