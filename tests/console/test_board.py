"""The board: what the screen shows after what the station told."""

from dataclasses import replace

import pytest

from broadcaster.clock import VirtualClock
from broadcaster.console.board import Board
from broadcaster.console.view import Phase, View, WaitView, Weight
from broadcaster.script.programme import Programme
from broadcaster.story.events import (
    Coming,
    FactChanged,
    JumpTiming,
    JumpWaiting,
    OutEvent,
    Refused,
    SegmentEntered,
    SessionEnded,
    SessionStarted,
    StationClosed,
    Trouble,
)
from tests.console.scene import (
    aired,
    at,
    clock,
    lively,
    on_air,
    opened,
    output,
    programme,
    session,
    session_ended,
    started,
)


def board_after(
    *events: OutEvent, time: VirtualClock | None = None, script: Programme | None = None
) -> Board:
    """A board that was told these events."""
    board = Board(script or programme(), time or clock())
    for event in events:
        board.apply(event)
    return board


def view_after(*events: OutEvent, script: Programme | None = None) -> View:
    """What the screen shows after these events."""
    return board_after(*events, script=script).view()


def sentences(view: View) -> list[str]:
    """The log's sentences."""
    return [line.sentence for line in view.log]


def test_off_air_before_the_first_word():
    """Before the station has opened, the board says off air and shows no item."""
    view = view_after()
    assert (view.phase, view.air, view.session_s) == (Phase.OFF_AIR, None, None)


def test_stands_by_when_opened():
    """An open station stands by until a session starts."""
    assert view_after(opened()).phase is Phase.STAND_BY


def test_an_item_is_on_air_only_when_it_is_heard():
    """An item that is made but not yet at the loudspeaker is not shown as on air."""
    first, second = started(0, 10, "One."), started(10, 20, "Two.")
    before = view_after(opened(), first, second, output(9.9))
    after = view_after(opened(), first, second, output(10.0))
    assert before.air is not None
    assert after.air is not None
    assert (before.air.text, after.air.text) == ("One.", "Two.")


def test_progress_and_time_left():
    """Ten seconds into thirty: a third is heard, twenty seconds are left."""
    air = view_after(*on_air()).air
    assert air is not None
    assert air.progress == pytest.approx(1 / 3)
    assert air.left_s == pytest.approx(20)


def test_the_loudspeaker_is_reckoned_on_between_two_words_of_the_output():
    """Half a second after the output's word, half a second more has been heard."""
    time = clock()
    board = board_after(*on_air(), time=time)
    time.wait(0.5)
    assert board.heard_frame() == at(10.5)


def test_an_output_that_fell_silent_is_not_reckoned_on_for_ever():
    """A minute after the output's last word the needle has moved on by a second only."""
    time = clock()
    board = board_after(*on_air(), time=time)
    time.wait(60)
    view = board.view()
    assert board.heard_frame() == at(11)
    assert view.output is not None
    assert view.output.quiet_for_s == pytest.approx(60)


def test_a_stopped_output_does_not_move_on():
    """While the output does not play, the loudspeaker's place stays."""
    time = clock()
    board = board_after(*on_air(), output(10, playing=False), time=time)
    time.wait(0.5)
    assert board.heard_frame() == at(10)


def test_a_cut_item_ends_where_it_was_cut():
    """After a cut, the item's length is what was heard of it, and the log says so."""
    item = started(0, 30, "Heron calling the light.", clue="a clue")
    view = view_after(opened(), item, aired(item, cut_s=12), output(11))
    assert view.air is not None
    assert view.air.left_s == pytest.approx(1)
    assert view.log[-1].weight is Weight.CUT
    assert view.log[-1].sentence == "CUT watch: Heron calling the light. (clue: a clue)"


def test_between_items_only_the_carrier_is_on_air():
    """Where no item covers the heard frame there is none on air."""
    assert view_after(opened(), started(0, 5, "One."), output(6)).air is None


def test_coming_waits_for_its_border():
    """What comes after the second item is not shown while the first is still heard."""
    first, second = started(0, 10, "One."), started(10, 20, "Two.")
    after_first = Coming(at(0), (("watch", "say", "Two."),))
    after_second = Coming(at(10), (("watch", "say", "Three."),))
    told = (opened(), first, after_first, second, after_second)
    assert view_after(*told, output(9.9)).coming[0].text == "Two."
    assert view_after(*told, output(10)).coming[0].text == "Three."


def test_coming_changes_at_once_in_the_middle_of_an_item():
    """A jump in the middle of an item changes what comes before its frame is heard."""
    coming = Coming(at(10.2), (("home", "say", "Tern, I see you."),))
    assert view_after(*on_air(), coming).coming[0].segment == "home"


def test_session_clock_runs_with_what_is_heard():
    """A session that began at frame 20 s is twelve minutes old at 740 s."""
    told = (opened(), *session(20), output(740))
    assert view_after(*told).session_s == pytest.approx(720)


def test_session_clock_stops_with_the_session():
    """After its end, the session's clock shows how long it was; the station stands by."""
    view = view_after(opened(), *session(0), *session_ended(50, "exit"), output(90))
    assert (view.phase, view.session_s) == (Phase.STAND_BY, pytest.approx(50))


def test_an_earlier_sessions_end_does_not_end_this_one():
    """A station that is met again tells its standing events; an older end changes nothing."""
    view = view_after(opened(), SessionStarted(at(100)), SessionEnded(at(50), "exit"), output(110))
    assert view.phase is Phase.ON_AIR


def test_the_segment_on_air_and_why():
    """The segment is marked, with what led to it, when its first frame is heard."""
    told = (
        *on_air(),
        SegmentEntered(at(10.1), "the lamp", "exit: lamp_lit"),
        started(10.1, 20, "There it is.", segment="the lamp"),
    )
    before, after = view_after(*told), view_after(*told, output(10.2))
    assert (before.segment, before.why) == ("watch", "the opening")
    assert (after.segment, after.why) == ("the lamp", "exit: lamp_lit")
    assert [segment.name for segment in after.segments if segment.on_air] == ["the lamp"]


def test_a_waiting_jump_and_its_end():
    """A jump that waits is shown at its segment, until the station says that none waits."""
    waits = JumpWaiting(at(10), "home", JumpTiming.AFTER_ROUND)
    view = view_after(*on_air(), waits)
    assert view.waiting == WaitView("home", JumpTiming.AFTER_ROUND, left_s=42.0, exact=False)
    marked = {segment.name: segment.waits for segment in view.segments if segment.waits}
    assert marked == {"home": JumpTiming.AFTER_ROUND}
    assert view_after(*on_air(), waits, JumpWaiting(at(11), None, None)).waiting is None


def test_a_jump_that_is_made_is_not_said_to_be_taken_back():
    """It ceases to wait right before its segment is entered; one taken back, before all else."""
    waits = JumpWaiting(at(10), "home", JumpTiming.AFTER_ITEM)
    gone = JumpWaiting(at(11), None, None)
    made = view_after(*on_air(), waits, gone, SegmentEntered(at(11), "home", "jump"), output(11))
    assert not any("taken back" in sentence for sentence in sentences(made))
    led = SegmentEntered(at(11), "the key", "exit: lamp_lit")
    back = view_after(*on_air(), waits, gone, led, output(11))
    assert "The jump to home is taken back." in sentences(back)


def test_a_jump_in_place_of_another_is_said():
    """The log and the message line name both."""
    after_item, after_round = JumpTiming.AFTER_ITEM, JumpTiming.AFTER_ROUND
    waits = JumpWaiting(at(10), "home", after_round)
    view = view_after(*on_air(), waits, JumpWaiting(at(10), "the key", after_item))
    sentence = "Jump to the key, after this item, in place of the jump to home."
    assert view.log[-1].sentence == sentence
    assert view.alert == view.log[-1]
    sooner = view_after(*on_air(), waits, JumpWaiting(at(10), "home", after_item))
    assert sooner.log[-1].sentence == "Jump to home, after this item, and not after this round."


def test_facts_say_who_set_them_and_when():
    """A fact starts with the script's value; a change keeps its source and its time of day."""
    facts = {f.name: f for f in view_after(opened()).facts}
    assert (facts["crates_open"].value, facts["crates_open"].source) == (0, "")
    view = view_after(opened(), FactChanged(at(120), "crates_open", 2, "room"))
    changed = next(f for f in view.facts if f.name == "crates_open")
    assert (changed.value, changed.source, changed.at) == (2, "room", "20:04")


def test_a_second_session_begins_with_the_scripts_facts():
    """What one team made true is not true for the next, as the story has it."""
    told = (*on_air(), FactChanged(at(9), "lamp_lit", True, "room"), SessionEnded(at(40), "exit"))
    again = view_after(*told, SessionStarted(at(50)))
    assert not any(fact.value for fact in again.facts)


def test_facts_of_a_station_met_again():
    """It tells how things stand, then what it could not tell before: facts of an earlier session,
    told after this one's beginning, do not outlast the beginning's second telling."""
    second = SessionStarted(at(50))
    early = FactChanged(at(9), "lamp_lit", True, "room")
    late = FactChanged(at(60), "gate_open", True, "room")
    ended = SessionEnded(at(40), "exit")
    view = view_after(opened(), ended, second, late, early, ended, second, late)
    assert [fact.name for fact in view.facts if fact.value] == ["gate_open"]
    assert not view.facts_of_last_session


def test_facts_after_a_reset_are_not_of_the_last_session():
    """A reset makes the facts as in the script; what the room says then holds for the next."""
    told = (*on_air(), SessionEnded(at(40), "reset"))
    spoken = FactChanged(at(45), "lamp_lit", True, "room")
    assert not view_after(*told).facts_of_last_session
    facts = view_after(*told, spoken, SessionStarted(at(50))).facts
    assert [fact.name for fact in facts if fact.value] == ["lamp_lit"]


def test_facts_told_before_the_first_session_stay():
    """What the room said while the station stood by still holds when the session begins."""
    told = (opened(), FactChanged(at(1), "lamp_lit", True, "room"), SessionStarted(at(5)))
    assert [fact.name for fact in view_after(*told).facts if fact.value] == ["lamp_lit"]


def test_output():
    """The output's name, underruns and buffered time are shown as it told them."""
    shown = view_after(opened(), output(3, underruns=2)).output
    assert shown is not None
    assert (shown.name, shown.playing, shown.underruns) == ("silent", True, 2)
    assert shown.buffered_s == pytest.approx(0.2)


@pytest.mark.parametrize("bad", [Trouble(at(10), "It failed."), Refused(at(10), "It failed.")])
def test_trouble_and_refusals_are_fresh_for_a_while(bad):
    """A trouble stands in the message line for a quarter of a minute, and in the log for good."""
    fresh = view_after(*on_air(), bad, output(20))
    assert fresh.alert is not None
    assert fresh.alert.sentence == "It failed."
    stale = view_after(*on_air(), bad, output(26))
    assert stale.alert is None
    assert "It failed." in sentences(stale)


def test_log_lines_have_the_time_of_day_of_their_frame():
    """A line about frame 739 s stands 12 min 19 s after the station opened."""
    view = view_after(opened(), Trouble(at(739), "It failed."))
    assert view.log[-1].at == "20:14:30"


def test_log_is_in_order():
    """Items are dated when they were over, so the log's times never go back."""
    times = [line.at for line in view_after(*lively()).log]
    assert times == sorted(times)


def test_log_leaves_out_pauses():
    """A pause that ran its time leaves no line; one that was cut does."""
    pause = started(0, 4, "pause", item="pause")
    assert "watch: pause" not in sentences(view_after(opened(), pause, aired(pause)))
    assert "CUT watch: pause" in sentences(view_after(opened(), pause, aired(pause, cut_s=2)))


def test_log_forgets_the_oldest_lines():
    """A day's lines do not pile up on the screen."""
    events = [Trouble(at(n), f"Trouble {n}.") for n in range(1000)]
    log = view_after(opened(), *events).log
    assert (len(log), log[-1].sentence) == (200, "Trouble 999.")


def test_station_closed():
    """After its last word the station is off air, and its trouble stands in the log."""
    board = board_after(*on_air(), StationClosed(at(60), trouble="The file could not be written."))
    view = board.view()
    assert board.closed
    assert (view.phase, view.air) == (Phase.OFF_AIR, None)
    assert view.log[-1].sentence == "The file could not be written."


def test_a_new_station_begins_anew():
    """A station that took the place of a dead one counts its frames from nought."""
    view = view_after(*on_air(), opened(), started(0, 5, "Again."), output(1))
    assert view.air is not None
    assert (view.air.text, view.session_s) == ("Again.", None)


def test_the_clue_that_a_jump_would_cut_is_the_one_being_made():
    """The station is ahead of the loudspeaker: a clue not heard yet is at stake already."""
    clue = started(30, 40, "2714", clue="the first crate")
    assert view_after(*on_air(), clue, output(29.9)).clue_at_stake == "the first crate"


def test_no_clue_is_at_stake_when_it_is_made_whole():
    """The last words of a clue that the station has made are not cut by a jump."""
    told = (*on_air("the first crate"), started(30, 40, "Next."), output(29.9))
    assert view_after(*told).clue_at_stake is None


def test_control_characters_do_not_reach_the_terminal():
    """Line breaks and escape sequences in a text become spaces."""
    view = view_after(opened(), started(0, 5, "Heron\n\x1b[2Jcalling"), output(1))
    assert view.air is not None
    assert view.air.text == "Heron [2Jcalling"


def test_a_notice_from_the_desk_stands_in_the_log():
    """What the desk has to say is dated by the clock on the wall."""
    board = board_after(opened())
    board.note("The log is written to heron.jsonl.")
    assert board.view().log[-1].sentence == "The log is written to heron.jsonl."


def test_views_of_the_same_moment_are_equal():
    """Nothing in a view changes unless something happened, so nothing is drawn again."""
    board = board_after(*lively())
    assert board.view() == board.view()
    assert replace(board.view(), segment="home") != board.view()
