"""Milestones: met for good, overdue and stalled on their very frames."""

import hypothesis.strategies as st
from hypothesis import given

from broadcaster.story.events import (
    EndSession,
    MilestoneMet,
    MilestoneOverdue,
    SegmentEntered,
    SetFact,
    Stalled,
    StartSession,
)
from tests.story.make import MINUTE, Run, programme, say, segment

LAMP = {"when": "lamp", "by": "12 min", "hint after": "16 min"}


def lamp_script(**milestones: dict[str, str]) -> Run:
    script = programme(
        {"watch": segment(say("one"))},
        facts={"lamp": False, "gate": False},
        milestones=milestones or {"lamp": LAMP},
    )
    run = Run(script).after(10).send(StartSession())
    run.border()
    return run


def test_a_milestone_is_overdue_and_then_stalled_by_time_alone() -> None:
    """Exactly at `by` and at `hint after` of session time, each told once."""
    run = lamp_script()
    began = run.frame
    assert run.wait() == 12 * MINUTE
    assert run.told[-1] == MilestoneOverdue(began + 12 * MINUTE, "lamp", 12 * MINUTE)
    assert run.wait() == 4 * MINUTE
    assert run.told[-1] == Stalled(began + 16 * MINUTE, "lamp", 16 * MINUTE)
    assert run.story.frames_until_change(run.state, run.frame) is None
    count = len(run.told)
    run.after(600).tick().border()
    assert len(run.told) == count


def test_one_frame_before_its_time_a_milestone_is_not_overdue() -> None:
    """A tick one frame early changes nothing."""
    run = lamp_script()
    run.frame += 12 * MINUTE - 1
    assert not run.tick().heard(MilestoneOverdue)
    run.frame += 1
    assert run.tick().heard(MilestoneOverdue)


def test_hint_after_is_by_if_it_is_left_out() -> None:
    """Overdue and stalled on the same frame then, in this order."""
    run = lamp_script(lamp={"when": "lamp", "by": "1 min"})
    run.wait()
    assert run.told[-2:] == [
        MilestoneOverdue(run.frame, "lamp", MINUTE),
        Stalled(run.frame, "lamp", MINUTE),
    ]


def test_a_milestone_is_met_once_and_for_good() -> None:
    """Its condition may cease to hold, it stays met; it is not overdue any more."""
    run = lamp_script()
    run.after(60).send(SetFact("lamp", True))
    assert run.told[-1] == MilestoneMet(run.frame, "lamp", MINUTE)
    run.send(SetFact("lamp", False)).send(SetFact("lamp", True))
    assert len(run.heard(MilestoneMet)) == 1
    assert run.story.frames_until_change(run.state, run.frame) is None
    assert not run.after(3600).tick().heard(MilestoneOverdue)


def test_a_milestone_that_is_met_late_has_not_stalled_any_more() -> None:
    """After it is met, `stalled` does not hold."""
    run = lamp_script()
    run.wait()
    run.wait()
    assert run.state.stalled == run.state.overdue == {"lamp"}
    run.send(SetFact("lamp", True))
    assert run.state.stalled == run.state.overdue == frozenset()


def test_met_on_the_very_frame_of_its_target_is_in_time() -> None:
    """What happens on a frame comes before what is due on it."""
    run = lamp_script()
    run.frame += 12 * MINUTE
    run.send(SetFact("lamp", True)).tick()
    assert not run.heard(MilestoneOverdue)


def test_a_milestone_may_ask_for_another() -> None:
    """Whatever their order in the script, both are met on the same frame."""
    run = lamp_script(
        both={"when": "met(lamp) and met(gate)", "by": "20 min"},
        lamp={"when": "lamp", "by": "20 min"},
        gate={"when": "gate", "by": "20 min"},
    )
    run.send(SetFact("gate", True)).send(SetFact("lamp", True))
    assert [event.milestone for event in run.heard(MilestoneMet)] == ["gate", "lamp", "both"]


def test_a_milestone_may_be_met_by_time() -> None:
    """frames_until_change covers its condition too."""
    run = lamp_script(quiet={"when": "quiet time >= 90 s", "by": "20 min"})
    assert run.wait() == 90 * 48_000
    assert run.told[-1] == MilestoneMet(run.frame, "quiet", 90 * 48_000)


def test_stalling_opens_an_exit_at_once_on_its_frame() -> None:
    """`stalled(NAME)` and `stalled` change by time; the exit is taken on that frame."""
    script = programme(
        {
            "watch": segment(
                say("one"), exits=({"to": "plain", "when": "stalled(lamp)", "at once": "yes"},)
            ),
            "plain": segment(say("plain"), say("late", when="stalled and not met(lamp)")),
        },
        facts={"lamp": False},
        milestones={"lamp": {"when": "lamp", "by": "1 min", "hint after": "2 min"}},
    )
    run = Run(script).send(StartSession())
    run.border()
    run.wait()
    assert not run.cut
    run.wait()
    assert run.cut
    assert run.texts(2) == ["plain", "late"]
    assert run.heard(SegmentEntered)[-1] == SegmentEntered(
        2 * MINUTE, "plain", "exit: stalled(lamp)"
    )


def test_a_new_session_begins_with_no_milestone_met() -> None:
    """What one team has done does not count for the next."""
    run = lamp_script()
    run.send(SetFact("lamp", True)).send(EndSession()).border()
    run.send(StartSession()).border()
    assert run.state.met == frozenset()
    assert run.wait() == 12 * MINUTE


def test_without_a_session_no_milestone_is_met() -> None:
    """The room may speak while the station stands by; the session then begins with it met."""
    script = programme(
        {"watch": segment(say("one"))}, facts={"lamp": False}, milestones={"lamp": LAMP}
    )
    run = Run(script).send(SetFact("lamp", True))
    assert not run.heard(MilestoneMet)
    run.after(5).send(StartSession())
    assert run.told[-1] == MilestoneMet(run.frame, "lamp", 0)


@given(
    st.integers(1, 30),
    st.integers(1, 30),
    st.lists(st.integers(0, 40 * 60), max_size=6),
    st.integers(0, 40 * 60),
)
def test_however_time_is_cut_the_same_is_told_on_the_same_frames(
    by: int, hint_after: int, borders: list[int], met_at: int
) -> None:
    """Item borders between the ticks change nothing of what milestones tell."""
    milestone = {"when": "lamp", "by": f"{by} min", "hint after": f"{hint_after} min"}

    def told(moments: list[int]) -> list[object]:
        run = lamp_script(lamp=milestone)
        began = run.frame
        marks = sorted({*moments, met_at, by * 60, hint_after * 60})
        for second in marks:
            run.frame = began + second * 48_000
            if second == met_at:
                run.send(SetFact("lamp", True))
            if second in moments:
                run.border()
            else:
                run.tick()
        return [*run.heard(MilestoneOverdue), *run.heard(Stalled), *run.heard(MilestoneMet)]

    assert told(borders) == told([])
    due = MilestoneOverdue(480_000 + by * MINUTE, "lamp", by * MINUTE)
    overdue = [due] if by * 60 < met_at else []
    assert told([])[: len(overdue)] == overdue
