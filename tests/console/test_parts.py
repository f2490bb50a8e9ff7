"""What the board is folded from: the session's clock, the team, what is said, the level."""

from dataclasses import replace

import pytest

from broadcaster.console.draft import Draft
from broadcaster.console.keys import key_at, key_row
from broadcaster.console.metering import HOLD_S
from broadcaster.console.palette import NIGHT
from broadcaster.console.team import branches_from
from broadcaster.console.view import MilestoneState
from broadcaster.script.conditions import parse_condition
from broadcaster.script.programme import Exit
from broadcaster.story.events import (
    AnnouncementsWaiting,
    HintGiven,
    HintReady,
    MilestoneMet,
    MilestoneOverdue,
    OutputState,
    Part,
    PlainVoiceStarted,
    PlainVoiceStopped,
    Resumed,
    SegmentEntered,
    SessionClock,
    SessionRestored,
    Stalled,
)
from tests.console.scene import (
    aired,
    at,
    clock,
    held,
    on_air,
    opened,
    output,
    programme,
    session,
    session_ended,
    started,
)
from tests.console.test_board import board_after, view_after

# --- the session --------------------------------------------------------------------------------


def test_the_clock_stands_while_the_session_is_held():
    """Held at 20 s and resumed at 50, it shows 25 s at 55."""
    told = (*on_air(), *held(20))
    assert view_after(*told, output(45)).session_s == pytest.approx(20)
    assert view_after(*told, output(45)).held
    again = (Resumed(at(50)), SessionClock(at(50), at(20), running=True))
    view = view_after(*told, *again, output(55))
    assert (view.held, view.session_s) == (False, pytest.approx(25))


@pytest.mark.parametrize(("why", "restorable"), [("the operator", True), ("exit: x", False)])
def test_what_the_operator_ended_can_be_brought_back_for_a_minute(why, restorable):
    """Not what the story ended, and not after a minute, nor twice."""
    told = (*on_air(), *session_ended(20, why))
    assert view_after(*told, output(79)).restorable is restorable
    assert not view_after(*told, output(81)).restorable
    assert not view_after(*told, SessionRestored(at(30)), output(31)).restorable


def test_the_round_s_end_is_known_or_guessed():
    """As the station tells."""
    view = view_after(*on_air())
    assert (view.round_left_s, view.round_exact) == (pytest.approx(42), False)


# --- words --------------------------------------------------------------------------------------


@pytest.mark.parametrize(("second", "word"), [(0.0, "Heron"), (1.2, "calling"), (4.0, "light.")])
def test_the_word_that_is_said(second, word):
    """By the engine's own times, however unevenly the words come."""
    words = ((0.0, "Heron"), (1.0, "calling"), (1.5, "the"), (1.6, "light."))
    item = started(0, 10, "Heron calling the light.", words=words)
    air = view_after(opened(), item, output(second)).air
    assert air is not None
    assert air.text[air.place :].startswith(word)


def test_a_word_that_is_spoken_otherwise_than_written():
    """It takes the place of the one before, and the next is found again."""
    item = started(0, 4, "At 9 tonight.", words=((0.0, "At"), (1.0, "nine"), (2.0, "tonight.")))
    places = [view_after(opened(), item, output(second)).air.place for second in (0, 1.5, 2.5)]
    assert places == [0, 0, 5]


# --- the team -----------------------------------------------------------------------------------


def test_milestones_by_their_times():
    """Each is to come, overdue, stalled or met; the next session begins with none met."""
    late = (*on_air(), MilestoneOverdue(at(10), "first crate"), Stalled(at(10), "first crate"))
    states = [one.state for one in view_after(*late).milestones]
    assert states == [MilestoneState.STALLED, MilestoneState.TO_COME]
    met = (*late, MilestoneMet(at(11), "first crate"))
    assert view_after(*met).milestones[0].met_s == pytest.approx(11)
    assert view_after(*met).stalled == ()
    new = view_after(*met, *session_ended(20, "reset"), *session(30))
    assert {one.state for one in new.milestones} == {MilestoneState.TO_COME}


@pytest.mark.parametrize("another", [False, True])
def test_a_milestone_told_again_was_met_when_it_was_met(another):
    """A session goes on, in another station too: neither its time nor the log is of now."""
    met = MilestoneMet(at(11), "first crate", at(11))
    first, restored_s = [*on_air(), met, *session_ended(20, "the operator")], 0 if another else 30
    again = [
        *([opened()] if another else []),
        SessionRestored(at(restored_s)),
        SessionClock(at(restored_s), at(20), running=True),
        replace(met, frame=at(restored_s)),
        MilestoneMet(at(restored_s), "lamp", at(20)),  # while it was being brought back
    ]
    view = view_after(*first, *again)
    assert [one.met_s for one in view.milestones] == [11, 20]
    told = [line.sentence for line in view.log if line.sentence.startswith("Milestone")]
    assert told == ["Milestone first crate is met at 0:11.", "Milestone lamp is met at 0:20."]


def test_the_hint_that_is_ready():
    """What the station says could be given; rung 0: none."""
    hint = view_after(*on_air()).hint
    assert hint is not None
    assert (hint.rung, hint.of, hint.text) == (1, 3, "The figures come round.")
    assert view_after(*on_air(), HintReady(at(10), "watch", 0, 3, "")).hint is None


def test_a_hint_that_was_asked_for_is_due_until_it_is_given():
    """What is not ready any more goes out next; what a segment that was left had does not."""
    none = HintReady(at(10), "watch", 0, 3, "")
    waits = view_after(*on_air(), none)
    assert waits.hint_due == view_after(*on_air()).hint
    given = HintGiven(at(11), "watch", 1, 3, "the operator")
    assert view_after(*on_air(), none, given).hint_due is None
    elsewhere = SegmentEntered(at(11), "home", "jump"), HintReady(at(11), "home", 0, 0, "")
    assert view_after(*on_air(), *elsewhere).hint_due is None


def test_a_reset_leaves_no_clock():
    """The last session is forgotten: the next one is planned."""
    ended = view_after(*on_air(), *session_ended(20, "reset", of_s=0), output(21))
    assert ended.session_s is None
    ended = view_after(*on_air(), *session_ended(20, "the operator"), output(21))
    assert ended.session_s == pytest.approx(20)


def test_branches_begin_with_what_needs_nothing_of_the_team():
    """A stall, then rounds, then time, then facts; an exit to the end is no branch."""
    conditions = ("lamp_lit", "time left < 2 min", "rounds >= 4", "stalled(lamp)")
    ways = [
        Exit(to=to, when=parse_condition(when))
        for to, when in zip(("the lamp", "home", "the word", "the key"), conditions, strict=True)
    ]
    script = programme()
    watch = script.segments["watch"].model_copy(update={"exits": (*ways, Exit(to="end"))})
    script = script.model_copy(update={"segments": {**script.segments, "watch": watch}})
    branches = branches_from(script, "watch")
    assert [one.segment for one in branches] == ["the key", "the word", "home", "the lamp"]
    assert branches[0].number == 7
    assert branches_from(script, "") == ()


# --- what the operator says ---------------------------------------------------------------------


def test_announcements_wait_and_are_remembered():
    """The latest first, each once; one that was cut is among them, one that waits is not."""
    told = [*on_air(), AnnouncementsWaiting(at(10), ("One.", "Two."))]
    assert view_after(*told).announcements == ("One.", "Two.")
    for second, text in enumerate(("One.", "Two.", "One.")):
        told.append(aired(started(30 + second, 31 + second, text, part=Part.ANNOUNCEMENT)))
    told.append(aired(started(40, 50, "Three.", part=Part.ANNOUNCEMENT), cut_s=45))
    told.append(AnnouncementsWaiting(at(50), ("Three.", "Four.")))
    assert [one.text for one in view_after(*told).spoken] == ["One.", "Two."]
    told.append(AnnouncementsWaiting(at(51), ()))
    assert [one.text for one in view_after(*told).spoken] == ["Four.", "Three.", "One.", "Two."]


def test_the_plain_voice_outlasts_a_session():
    """It is on air until it is stopped, whatever becomes of the session."""
    told = (*on_air(), PlainVoiceStarted(at(10), "Please leave.", "operator"))
    plain = view_after(*told, *session_ended(20, "the operator")).plain
    assert plain is not None
    assert (plain.text, plain.at, plain.source) == ("Please leave.", "20:02:21", "operator")
    assert view_after(*told, PlainVoiceStopped(at(12), "operator")).plain is None


# --- the level ----------------------------------------------------------------------------------


def test_a_peak_is_held():
    """The highest of the last few seconds stands, and then falls to what came since."""
    time = clock()
    board = board_after(opened(), time=time)
    held = []
    for wait_s, peak in ((0, -3.0), (HOLD_S / 3, -20.0), (HOLD_S / 3, -25.0), (HOLD_S / 2, -30.0)):
        time.wait(wait_s)
        board.apply(OutputState(0, 0, "silent", True, 0, 0, peak, peak - 10))
        held.append(board.view().output.held_peak_dbfs)
    assert held == [-3.0, -3.0, -3.0, -20.0]


# --- writing and keys ---------------------------------------------------------------------------


def test_writing():
    """Letters go in at the cursor; keys move it and take letters away."""
    draft = Draft()
    draft.add("Mind the stair")
    for key in ("home", "delete", "right", "left", "end", "backspace"):
        assert draft.press(key, None)
    assert draft.press("x", "x")
    assert not draft.press("f5", None)
    assert (draft.text, draft.cursor) == ("ind the staix", 13)
    draft.press("ctrl+u", None)
    assert (draft.text, draft.cursor) == ("", 0)


@pytest.mark.parametrize(
    ("words", "key"),
    [
        ("Ctrl+N", "ctrl+n"),
        ("now", "ctrl+n"),
        ("↑", "up"),
        ("↓", "down"),
        ("lower", None),  # two keys do it: which is not said
        ("nothing", None),
    ],
)
def test_the_key_under_a_click(words, key):
    """A key's name is that key, and so is what it does."""
    hints = (("Ctrl+N", "now"), ("↑ ↓", "lower"))
    row = (*key_row(hints, NIGHT.panel, NIGHT.panel), ("  and nothing", NIGHT.panel))
    text = "".join(part for part, _ in row)
    found = key_at(row, text.index(words))
    assert (found[0] if found else None) == key
