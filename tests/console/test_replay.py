"""A recorded session on the screen: what is told when, and what cannot be done."""

import pytest

from broadcaster.console.app import Console
from broadcaster.console.asking import leaving
from broadcaster.console.board import Board
from broadcaster.console.recorded import programme_of
from broadcaster.console.replay import CANNOT, Replay
from broadcaster.console.view import MilestoneState, Phase
from broadcaster.story.events import (
    FactChanged,
    GiveHint,
    ItemStarted,
    MilestoneMet,
    OutEvent,
    Refused,
    SegmentEntered,
    StationClosed,
)
from tests.console.scene import aired, at, clock, opened, session, session_ended, started

EVENING: list[OutEvent] = [
    opened(),
    *session(600),
    SegmentEntered(at(600), "watch", "the opening"),
    aired(started(600, 604, "Heron calling the light.")),
    FactChanged(at(606), "crates_open", 1, "room"),
    FactChanged(at(606), "door", "ajar", "room"),
    MilestoneMet(at(606), "first crate"),
    aired(started(604, 610, "2714", item="groups", clue="gate"), cut_s=606),
    SegmentEntered(at(606), "there you are", "exit: crates_open > 0"),
    aired(started(606, 612, "There you are.", segment="there you are")),
    *session_ended(612, "the operator", of_s=12),
    StationClosed(at(620)),
]


def watched(speed: float, *waits_s: float) -> Board:
    """A board that has watched the evening for so long, asked after each wait."""
    time = clock()
    replay, board = Replay(EVENING, time, speed), Board(programme_of(EVENING), time)
    for wait_s in (0.0, *waits_s):
        time.wait(wait_s)
        for event in replay.events():
            board.apply(event)
    return board


def test_it_begins_shortly_before_the_session():
    """Ten minutes of standing by are over at once."""
    view = watched(1).view()
    assert view.phase is Phase.STAND_BY
    assert view.callsign == "Heron"
    assert watched(1, 5.1).view().phase is Phase.ON_AIR


def test_items_are_on_air_while_they_were():
    """With what came next, the clue, and how far it was."""
    view = watched(1, 10.0).view()
    assert view.air is not None
    assert (view.air.text, view.air.clue) == ("2714", "gate")
    assert view.air.left_s == pytest.approx(1.0)
    assert [cue.text for cue in view.coming] == ["There you are."]
    assert view.session_s == pytest.approx(5.0)


def test_faster():
    """Four times as fast, all is where four times as much time would have brought it."""
    view = watched(4, 2.5).view()
    assert view.air is not None
    assert view.air.text == "2714"


def test_what_happened_is_shown_as_it_was():
    """Segment, why, facts with their source, milestones, the log."""
    view = watched(1, 12.0).view()
    assert (view.segment, view.why) == ("there you are", "exit: crates_open > 0")
    assert [(fact.name, fact.value, fact.source) for fact in view.facts] == [
        ("crates_open", 1, "room"),
        ("door", "ajar", "room"),
    ]
    assert view.milestones[0].state is MilestoneState.MET
    assert view.milestones[0].met_s == pytest.approx(6.0)
    assert "CUT watch: groups 2714 (clue: gate)" in [line.sentence for line in view.log]


def test_it_closes_where_the_log_ends():
    """The console leaves when the station did."""
    assert not watched(1, 20.0).closed
    assert watched(1, 25.1).closed


def test_nothing_can_be_changed():
    """Whatever the operator does is refused, in a sentence, once."""
    replay = Replay(EVENING, clock())
    replay.send(GiveHint())
    refusals = [event for event in replay.events() if isinstance(event, Refused)]
    assert [event.sentence for event in refusals] == [CANNOT]
    assert not any(isinstance(event, Refused) for event in replay.events())


def test_nothing_is_told_twice():
    """However often it is asked."""
    time = clock()
    replay = Replay(EVENING, time)
    told: list[OutEvent] = []
    for _ in range(60):
        told += replay.events()
        time.wait(0.5)
    assert sum(isinstance(event, ItemStarted) for event in told) == 3
    assert sum(isinstance(event, FactChanged) for event in told) == 2


def test_leaving_a_recording_takes_nothing_off_air():
    """The question says what is closed."""
    time = clock()
    replay, board = Replay(EVENING, time), Board(programme_of(EVENING), time)
    wording = leaving("Close the recording?")
    console = Console(board, replay.send, replay.events, time, wording)
    for event in replay.events():
        board.apply(event)
    console.hand.press("ctrl+q", None, board.view())
    assert console.hand.question is not None
    assert console.hand.question.sentence == "Close the recording?"
