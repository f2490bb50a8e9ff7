"""What the operator does with a session: announcements, holding, resetting."""

from dataclasses import replace

import pytest

from broadcaster.story.events import (
    Announce,
    EndSession,
    FactChanged,
    Held,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    MilestoneMet,
    MilestoneOverdue,
    Part,
    Refused,
    ResetSession,
    Resume,
    Resumed,
    SegmentEntered,
    SessionClock,
    SessionEnded,
    SetFact,
    StartSession,
)
from broadcaster.story.state import Phase
from broadcaster.units import RATE
from tests.story.make import Run, entry, programme, say, segment

AT_ONCE = ({"to": "far", "when": "lamp", "at once": "yes"},)


def on_air(**options: object) -> Run:
    script = programme(
        {
            "watch": segment(say("one"), say("two", times=2), exits=AT_ONCE),
            "far": segment(say("far")),
        },
        facts={"lamp": False, "crates": {"at first": 0, "from": 0, "to": 4}},
        milestones={"lamp": {"when": "lamp", "by": "10 min"}},
        timetable=(entry(say("a"), say("b"), at="1 min"),),
    )
    run = Run(script).after(5).send(StartSession())
    run.border()
    return run


# --- announcements ------------------------------------------------------------------------------


def test_an_announcement_goes_out_at_the_next_border_and_the_running_order_goes_on() -> None:
    """Several go out in the order in which they were given."""
    run = on_air().send(Announce("Mind the step.")).send(Announce("Really."))
    assert not run.cut
    assert run.texts(5) == ["Mind the step.", "Really.", "two", "two", "one"]


def test_an_announcement_is_spoken_as_it_was_typed() -> None:
    """Braces are no facts; the cue tells what it is, and the station's own voice speaks."""
    run = on_air().send(Announce("Say {lamp} or {}."))
    cue = run.border()
    assert cue is not None
    assert (cue.text, cue.part, cue.item.kind) == ("Say {lamp} or {}.", Part.ANNOUNCEMENT, "say")
    assert cue.item.voice is None  # type: ignore[attr-defined]


def test_an_announcement_now_cuts_and_the_item_is_sent_again() -> None:
    """Whoever cuts asks for the state in which the cut item comes again, the same of its times."""
    run = on_air()
    assert run.texts(1) == ["two"]
    run.send(Announce("Now.", now=True))
    assert run.cut
    run.state = run.story.again(run.state)
    cues = [run.border() for _ in range(3)]
    assert [(cue.text, cue.time) for cue in cues if cue] == [("Now.", 1), ("two", 1), ("two", 2)]


def test_an_announcement_now_during_the_timetables_items() -> None:
    """The cut item of the timetable is sent again, then the rest of it."""
    run = on_air()
    run.wait()
    assert run.texts(1) == ["a"]
    run.send(Announce("Now.", now=True))
    run.state = run.story.again(run.state)
    assert run.texts(4) == ["Now.", "a", "b", "two"]


def test_an_announcement_over_an_announcement() -> None:
    """The first is said again after the second."""
    run = on_air().send(Announce("First."))
    assert run.texts(1) == ["First."]
    run.send(Announce("Second.", now=True))
    run.state = run.story.again(run.state)
    assert run.texts(3) == ["Second.", "First.", "two"]


def test_an_announcement_at_stand_by_goes_out_at_once() -> None:
    """The story waits no longer; afterwards it waits again. So it does when a session is over."""
    run = Run(programme({"watch": segment(say("one"))}))
    for _ in range(2):
        run.send(Announce("Testing."))
        assert not run.story.waits(run.state)
        cue = run.border()
        assert cue is not None
        assert (cue.segment, cue.text) == ("", "Testing.")
        assert run.border() is None
        assert run.story.waits(run.state)
        run.send(StartSession()).send(EndSession()).border()


def test_the_story_does_not_cut_an_announcement_but_the_operator_does() -> None:
    """An exit at once waits for its end; a jump now does not."""
    run = on_air().send(Announce("Mind the step."))
    run.border()
    run.send(SetFact("lamp", True))
    assert not run.cut
    assert run.texts(1) == ["far"]
    run.send(Announce("Mind the step.")).border()
    assert run.send(Jump("watch", JumpTiming.NOW)).cut


def test_an_announcement_that_waits_survives_a_move() -> None:
    """Moves come first, and take no time."""
    run = on_air().send(Announce("Mind the step.")).send(Jump("far"))
    assert run.texts(2) == ["Mind the step.", "far"]


@pytest.mark.parametrize(
    ("text", "sentence"),
    [
        ("  ", "An announcement needs words."),
        ("?!", "An announcement needs words."),
        ("x" * 5001, "An announcement of 5001 characters is too long; 5000 are allowed."),
    ],
)
def test_an_announcement_that_cannot_be_spoken_is_refused(text: str, sentence: str) -> None:
    """In a sentence; nothing is cut."""
    run = on_air()
    before = run.state
    run.send(Announce(text, now=True))
    assert not run.cut
    assert run.state is before
    assert run.told[-1] == Refused(run.frame, sentence)


# --- holding ------------------------------------------------------------------------------------


def test_a_held_session_sends_nothing_and_goes_on_where_it_was() -> None:
    """The item on air is finished (nothing is cut), then the carrier stays until Resume."""
    run = on_air().send(Hold())
    assert not run.cut
    assert run.told[-1] == Held(run.frame)
    assert run.border() is None
    assert run.story.waits(run.state)
    run.after(100).send(Resume())
    assert run.told[-1] == Resumed(run.frame)
    assert not run.story.waits(run.state)
    assert run.texts(2) == ["two", "two"]


def test_the_sessions_times_stand_still_while_it_is_held() -> None:
    """Session time, segment time, quiet time and time left all go on where they were."""
    script = programme(
        {
            "watch": segment(
                say("x", when="session time = 20 s and time left = 40 s"),
                say("y", when="segment time = 20 s and quiet time = 15 s"),
                say("z"),
            )
        },
        facts={"crates": 0},
        session="60 s",
    )
    run = Run(script).after(7).send(StartSession())
    run.border()
    run.after(5).send(SetFact("crates", 1))
    run.after(5).send(Hold()).after(33).send(Resume()).after(10)
    assert run.texts(3) == ["x", "y", "z"]


def test_a_milestone_is_overdue_as_much_later_as_the_session_was_held() -> None:
    """And nothing is due by time while it is held."""
    run = on_air()
    run.after(30).send(Hold())
    assert run.story.frames_until_change(run.state, run.frame) is None
    run.after(500).send(Resume())
    run.wait()
    assert run.wait() == 9 * 60 * RATE
    due = MilestoneOverdue((5 + 600 + 500) * RATE, "lamp", 600 * RATE)
    assert run.heard(MilestoneOverdue) == [due]


def test_the_room_may_speak_while_the_session_is_held() -> None:
    """Facts change and milestones are met; an exit at once is taken when the session goes on."""
    run = on_air().send(Hold()).after(10).send(SetFact("lamp", True))
    assert not run.cut
    assert run.told[-2:] == [
        FactChanged(run.frame, "lamp", True, "operator"),
        MilestoneMet(run.frame, "lamp", 0),
    ]
    assert run.border() is None
    assert run.send(Resume()).cut
    assert run.texts(1) == ["far"]


def test_a_jump_waits_while_the_session_is_held() -> None:
    """Even one that cuts the item on air: the segment is entered when the session goes on."""
    run = on_air().send(Hold()).send(Jump("far", JumpTiming.NOW))
    assert run.cut
    assert run.border() is None
    assert run.after(9).send(Resume()).texts(1) == ["far"]
    assert run.heard(SegmentEntered)[-1].frame == run.frame


def test_the_operator_may_speak_while_the_session_is_held() -> None:
    """The announcement goes out, and then the carrier stays."""
    run = on_air().send(Hold())
    assert run.border() is None
    run.send(Announce("We go on in a minute."))
    assert not run.story.waits(run.state)
    assert run.texts(1) == ["We go on in a minute."]
    assert run.border() is None
    assert run.send(Resume()).texts(1) == ["two"]


def test_a_held_session_can_be_ended() -> None:
    """And the next one is not held."""
    run = on_air().send(Hold()).send(EndSession())
    assert run.border() is None
    assert run.state.phase is Phase.ENDED
    assert run.send(StartSession()).texts(1) == ["one"]


@pytest.mark.parametrize(
    ("before", "event", "sentence"),
    [
        ([Hold()], Hold(), "The session is held already."),
        ([], Resume(), "No session is held."),
        ([EndSession()], Hold(), "No session is on air."),
    ],
)
def test_holding_twice_or_resuming_what_is_not_held_is_refused(
    before: list[InEvent], event: InEvent, sentence: str
) -> None:
    """In a sentence."""
    run = on_air()
    for one in before:
        run.send(one).border()
    assert run.send(event).told[-1] == Refused(run.frame, sentence)


# --- resetting ----------------------------------------------------------------------------------


def test_a_reset_ends_the_session_and_forgets_all_of_it() -> None:
    """Facts are as in the script, and told; the station stands by as it did when it opened."""
    run = on_air().send(SetFact("crates", 3))
    run.told.clear()
    run.send(ResetSession())
    assert run.cut
    assert run.told == [
        SessionEnded(run.frame, "reset"),
        FactChanged(run.frame, "crates", 0, "reset"),
        SessionClock(run.frame, 0, running=False),
    ]
    assert run.border() is None
    assert replace(run.state, left=None) == run.story.stand_by()


def test_a_reset_between_sessions_takes_back_what_the_room_said() -> None:
    """At stand by there is nothing to cut."""
    run = Run(programme({"watch": segment(say("one"))}, facts={"lamp": False}))
    run.send(SetFact("lamp", True)).send(ResetSession())
    assert not run.cut
    assert run.story.facts(run.state) == {"lamp": False}


def test_a_reset_lets_the_operator_finish() -> None:
    """An announcement on air is not cut, and one that waits goes out."""
    run = on_air().send(Announce("First.")).send(Announce("Second."))
    run.border()
    assert not run.send(ResetSession()).cut
    assert run.texts(1) == ["Second."]
    assert run.border() is None


# --- facts --------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("value", "sentence"),
    [
        (5, "The fact 'crates': `5` is outside its bounds. It goes from 0 to 4."),
        (-1, "The fact 'crates': `-1` is outside its bounds. It goes from 0 to 4."),
        ("three", "The fact 'crates': `three` is not a whole number."),
    ],
)
def test_a_value_outside_a_facts_bounds_is_refused(value: object, sentence: str) -> None:
    """From the room or the operator: told, and nothing changes."""
    run = on_air()
    before = run.state
    run.send(SetFact("crates", value, "room"))  # type: ignore[arg-type]
    assert run.told[-1] == Refused(run.frame, sentence)
    assert run.state is before


def test_a_fact_may_be_one_of_a_list_of_names() -> None:
    """Names are compared in quotes; any other name is refused."""
    script = programme(
        {
            "watch": segment(
                say("door {door}", when='door = "ajar"'), say("not open", when='door != "open"')
            )
        },
        facts={"door": {"one of": ("closed", "ajar", "open"), "at first": "closed"}},
    )
    run = Run(script).send(StartSession())
    assert run.texts(1) == ["not open"]
    assert run.send(SetFact("door", "ajar")).texts(1) == ["door ajar"]
    run.send(SetFact("door", "opne"))
    assert run.told[-1] == Refused(
        0, "The fact 'door': `opne` is none of its names. Did you mean `open`?"
    )
    run.send(SetFact("door", True))
    assert isinstance(run.told[-1], Refused)
