"""Hints: a ladder for each segment, each rung once, given by the operator or by the station."""

from broadcaster.story.events import (
    GiveHint,
    HintGiven,
    Hold,
    Jump,
    Part,
    Refused,
    Resume,
    SetFact,
    StartSession,
    TakeBackHint,
)
from tests.story.make import MINUTE, Run, choose, programme, say, segment

LADDER = (say("gentle"), say("plainer", times=2), say("plain"))


def on_air(automatic: bool = False, hints: tuple = LADDER, **options: str) -> Run:
    script = programme(
        {
            "watch": segment(
                say("one"), say("two"), hints=hints, automatic_hints=automatic, **options
            ),
            "far": segment(say("far"), hints=(say("far hint"),)),
            "bare": segment(say("bare")),
        },
        facts={"lamp": False, "gate": False},
        milestones={
            "lamp": {"when": "lamp", "by": "10 min", "hint after": "12 min"},
            "gate": {"when": "gate", "by": "10 min", "hint after": "14 min"},
        },
    )
    run = Run(script).send(StartSession())
    run.border()
    return run


def test_a_hint_goes_out_at_the_next_border_and_the_running_order_goes_on() -> None:
    """It cuts nothing, and the running order goes on where it was."""
    run = on_air()
    run.send(GiveHint())
    assert not run.cut
    assert run.texts(3) == ["gentle", "two", "one"]
    assert run.heard(HintGiven) == [HintGiven(0, "watch", 1, 3, "the operator")]


def test_a_hint_that_waits_can_be_taken_back() -> None:
    """It is not given, and its rung is still to come; what does not wait is refused."""
    run = on_air().send(GiveHint()).send(TakeBackHint())
    assert run.texts(2) == ["two", "one"]
    assert run.heard(HintGiven) == []
    told = "No hint is waiting; what was heard stays heard."
    assert run.send(TakeBackHint()).told[-1] == Refused(0, told)
    assert run.send(GiveHint()).texts(1) == ["gentle"]


def test_a_hint_is_a_cue_of_its_own() -> None:
    """The cue says that it is a hint, and in which segment."""
    run = on_air().send(GiveHint())
    cue = run.border()
    assert cue is not None
    assert (cue.segment, cue.part) == ("watch", Part.HINT)
    cue = run.border()
    assert cue is not None
    assert cue.part is Part.RUNNING_ORDER


def test_each_rung_is_given_once_from_gentle_to_plain() -> None:
    """The fourth of three is refused; a rung goes out as often as its `times` says."""
    run = on_air()
    heard = []
    for _ in range(3):
        run.send(GiveHint())
        heard += run.texts(2)
    assert heard == ["gentle", "two", "plainer", "plainer", "plain", "one"]
    assert [event.rung for event in run.heard(HintGiven)] == [1, 2, 3]
    assert run.state.hints == 3
    run.send(GiveHint())
    assert run.told[-1] == Refused(0, "The segment 'watch' has no more hints.")


def test_a_rung_given_stays_given_when_the_segment_is_entered_again() -> None:
    """Once a session, not once a visit; each segment has a ladder of its own."""
    run = on_air().send(GiveHint())
    run.border()
    assert run.send(Jump("far")).texts(1) == ["far"]
    assert run.send(GiveHint()).texts(1) == ["far hint"]
    assert run.send(Jump("watch")).texts(1) == ["one"]
    assert run.send(GiveHint()).texts(1) == ["plainer"]


def test_a_second_hint_waits_until_the_first_was_given() -> None:
    """Pressing twice does not give two rungs at once."""
    run = on_air().send(GiveHint()).send(GiveHint())
    assert run.told[-1] == Refused(0, "A hint waits for the end of the item.")
    assert run.texts(2) == ["gentle", "two"]


def test_a_segment_without_hints_has_none_to_give() -> None:
    """Refused in a sentence, as without a session."""
    run = on_air().send(Jump("bare"))
    run.border()
    assert run.send(GiveHint()).told[-1] == Refused(0, "The segment 'bare' has no hints.")
    stand_by = Run(programme({"watch": segment(say("one"), hints=LADDER)})).send(GiveHint())
    assert stand_by.told == [Refused(0, "No session is on air.")]


def test_a_hint_that_waits_is_forgotten_when_its_segment_is_left() -> None:
    """The operator is told that it was not given; the rung is still to come."""
    run = on_air().send(Jump("far")).send(GiveHint())
    assert run.texts(1) == ["far"]
    assert run.told[-1].__class__.__name__ == "SegmentEntered"
    assert run.heard(Refused)[-1].sentence == (
        "The hint is not given: 'watch' was left before its turn."
    )
    assert not run.heard(HintGiven)
    assert run.send(Jump("watch")).texts(1) == ["one"]
    assert run.send(GiveHint()).texts(1) == ["gentle"]


def test_a_rung_whose_when_does_not_hold_is_passed_over() -> None:
    """For good: the ladder does not climb down again."""
    run = on_air(hints=(say("gentle", when="not lamp"), say("plain"), say("plainest")))
    run.send(SetFact("lamp", True)).send(GiveHint())
    assert run.texts(1) == ["plain"]
    run.send(SetFact("lamp", False)).send(GiveHint())
    assert run.texts(1) == ["plainest"]
    assert run.state.hints == 2


def test_hints_given_is_counted_for_conditions() -> None:
    """`hints given` counts those of the whole session; a rung may ask for it."""
    hints = (say("first", when="hints given = 0"), say("second", when="hints given = 1"))
    run = on_air(hints=hints)
    run.send(GiveHint())
    assert run.texts(1) == ["first"]
    run.send(GiveHint())
    assert run.texts(1) == ["second"]


def test_a_rung_may_be_one_of_several_variants() -> None:
    """One rung, whichever variant goes out."""
    run = on_air(hints=(choose(say("a"), say("b"), times=2), say("plain")))
    run.send(GiveHint())
    assert sorted(run.texts(2)) == ["a", "b"]
    assert run.send(GiveHint()).texts(1) == ["plain"]


# --- automatic hints ----------------------------------------------------------------------------


def test_a_hint_is_due_on_the_frame_on_which_a_milestone_stalls() -> None:
    """By time alone; it then waits for the border as any hint does."""
    run = on_air(automatic=True)
    run.wait()
    assert not run.state.hint_waiting
    run.wait()
    assert run.frame == 12 * MINUTE
    assert run.state.hint_waiting == "stalled"
    run.after(7)
    assert run.texts(2) == ["gentle", "two"]
    assert run.heard(HintGiven) == [HintGiven(run.frame, "watch", 1, 3, "stalled")]


def test_further_hints_come_each_hint_every_while_a_milestone_is_stalled() -> None:
    """Counted from the hint before; another milestone that stalls gives one at once."""
    run = on_air(automatic=True, hint_every="90 s")
    run.wait()
    run.wait()
    run.border()
    assert run.wait() == 90 * 48_000
    assert run.state.hint_waiting == "stalled"
    run.border()
    assert run.wait() == 30 * 48_000
    assert run.frame == 14 * MINUTE
    assert run.state.hint_waiting == "stalled"
    run.border()
    run.border()
    assert [event.rung for event in run.heard(HintGiven)] == [1, 2, 3]
    assert run.story.frames_until_change(run.state, run.frame) is None


def test_a_hint_by_the_operator_puts_the_automatic_one_off() -> None:
    """The team has just been helped."""
    run = on_air(automatic=True, hint_every="90 s")
    run.wait()
    run.wait()
    run.border()
    run.after(80).send(GiveHint())
    run.border()
    assert run.heard(HintGiven)[-1].why == "the operator"
    assert run.story.frames_until_change(run.state, run.frame) == 2 * MINUTE - 80 * 48_000
    run.wait()  # the gate stalls, at once
    assert run.state.hint_waiting == "stalled"


def test_a_team_that_has_caught_up_gets_no_more() -> None:
    """Not even the hint that waits for its border; the operator's own hint is given."""
    run = on_air(automatic=True)
    run.wait()
    run.wait()
    run.send(SetFact("lamp", True))
    assert run.texts(1) == ["two"]
    assert run.wait() == 2 * MINUTE
    run.send(SetFact("gate", True)).send(GiveHint())
    assert run.texts(1) == ["gentle"]
    assert run.story.frames_until_change(run.state, run.frame) is None


def test_a_segment_entered_while_the_team_has_stalled_waits_before_it_helps() -> None:
    """They have just arrived: the first hint comes after `hint every`."""
    run = on_air(automatic=True, hint_every="60 s")
    run.send(Jump("bare"))
    run.border()
    for _ in range(3):
        run.wait()
    assert run.frame == 14 * MINUTE
    assert not run.state.hint_waiting
    run.send(Jump("watch"))
    run.border()
    assert run.wait() == MINUTE
    assert run.state.hint_waiting == "stalled"


def test_a_segment_without_automatic_hints_waits_for_the_operator() -> None:
    """Stalling alone gives no hint there."""
    run = on_air()
    for _ in range(3):
        run.wait()
    assert not run.state.hint_waiting
    assert run.story.frames_until_change(run.state, run.frame) is None


def test_holding_puts_the_automatic_hint_off() -> None:
    """The time while the session is held does not count."""
    run = on_air(automatic=True, hint_every="60 s")
    run.wait()
    run.wait()
    run.border()
    run.after(20).send(Hold()).after(500).send(Resume())
    assert run.wait() == 40 * 48_000
    assert run.state.hint_waiting == "stalled"
