"""The timetable: due by session time or by an event, it waits for the border and lands on marks."""

import hypothesis.strategies as st
import pytest
from hypothesis import given

from broadcaster.story.events import (
    EndSession,
    GiveHint,
    Hold,
    Jump,
    Part,
    Refused,
    Resume,
    SegmentEntered,
    SessionEnded,
    SetFact,
    StartSession,
    TimetableDropped,
    TimetableDue,
)
from broadcaster.units import RATE
from tests.story.make import MINUTE, Run, entry, pips, programme, remember, say, segment


def on_air(*timetable: object, **options: object) -> Run:
    script = programme(
        {
            "watch": segment(say("one"), say("two"), hints=(say("hint"),)),
            "far": segment(say("far")),
        },
        facts={"lamp": False},
        timetable=timetable,  # type: ignore[arg-type]
        **options,  # type: ignore[arg-type]
    )
    run = Run(script).after(3).send(StartSession())
    (run.opening,) = run.texts(1)
    return run


def test_an_entry_by_session_time_is_due_on_its_frame_and_waits_for_the_border() -> None:
    """It cuts nothing; all its items go out, then the running order goes on where it was."""
    run = on_air(entry(say("quarter"), say("hour", times=2), at="45 min"))
    assert run.wait() == 45 * MINUTE
    assert not run.cut
    run.after(9)
    assert run.texts(5) == ["quarter", "hour", "hour", "two", "one"]
    assert run.story.frames_until_change(run.state, run.frame) is None


def test_its_items_are_cues_of_the_timetable() -> None:
    """The cue tells what it belongs to, and the segment that is on air."""
    run = on_air(entry(say("quarter"), at="1 min"))
    run.wait()
    cue = run.border()
    assert cue is not None
    assert (cue.segment, cue.part, cue.text) == ("watch", Part.TIMETABLE, "quarter")


def test_one_frame_early_it_is_not_due() -> None:
    """A border one frame before passes it by."""
    run = on_air(entry(say("quarter"), at="1 min"))
    run.frame += MINUTE - 1
    assert run.texts(1) == ["two"]
    run.frame += 1
    assert run.texts(1) == ["quarter"]


def test_every_so_often_begins_at_from_or_after_its_first_time() -> None:
    """`every: 10 min` at 10, 20, 30; with `from: 0 s` at once, then at 10."""
    run = on_air(
        entry(say("a"), every="10 min"), entry(say("b"), every="25 min", **{"from": "0 s"})
    )
    assert run.opening == "b"
    moments = []
    for _ in range(5):
        run.wait()
        moments.append((run.session_minutes(), *run.texts(1)))
    assert moments == [(10, "a"), (20, "a"), (25, "b"), (30, "a"), (40, "a")]


def test_an_entry_that_is_due_again_waits_once() -> None:
    """However often it fell due during a long item, it goes out once."""
    run = on_air(entry(say("a"), every="1 min"))
    run.frame += 5 * MINUTE + 7
    assert run.texts(3) == ["a", "two", "one"]
    assert run.wait() == MINUTE - 7


def test_several_entries_go_out_in_the_order_of_their_times_then_of_the_script() -> None:
    """A hint comes after them."""
    run = on_air(
        entry(say("later"), at="3 min"),
        entry(say("first"), at="1 min"),
        entry(say("second"), at="1 min"),
    )
    run.frame += 4 * MINUTE
    run.send(GiveHint())
    assert run.texts(5) == ["first", "second", "later", "hint", "two"]


def test_an_entry_later_than_its_limit_is_dropped_and_told() -> None:
    """Exactly at the limit it still goes out; a frame later it does not."""
    run = on_air(entry(say("in time"), at="1 min", late="30 s"))
    run.frame += MINUTE + 30 * RATE
    assert run.texts(1) == ["in time"]
    run = on_air(entry(say("in time"), at="1 min", late="30 s"))
    run.frame += MINUTE + 30 * RATE + 1
    assert run.texts(1) == ["two"]
    assert run.heard(TimetableDropped) == [
        TimetableDropped(
            run.frame,
            0,
            "The timetable's `at: 1 min` is dropped: it could not begin within 30 s of its time.",
        )
    ]


def test_a_segment_of_the_timetable_is_entered_after_the_item() -> None:
    """As with a jump after the item."""
    run = on_air(entry(segment="far", at="1 min"))
    run.wait()
    assert not run.cut
    assert run.texts(2) == ["far", "far"]
    assert run.heard(SegmentEntered)[-1] == SegmentEntered(run.frame, "far", "timetable")


def test_the_operators_jump_has_the_last_word_over_the_timetable() -> None:
    """Both moves are made at one border, the timetable's first."""
    run = on_air(entry(segment="far", at="1 min"))
    run.wait()
    run.send(Jump("watch"))
    assert run.texts(1) == ["one"]
    assert [event.segment for event in run.heard(SegmentEntered)] == ["watch", "far", "watch"]


def test_an_entry_goes_out_after_a_move_that_is_due_at_the_same_border() -> None:
    """Moves take no time: they come first, and do not drop what waits."""
    run = on_air(entry(say("quarter"), at="1 min"))
    run.wait()
    run.send(Jump("far"))
    assert run.texts(2) == ["quarter", "far"]


def test_a_jump_ends_an_entry_that_is_going_out() -> None:
    """What is still to come of it is not sent."""
    run = on_air(entry(say("a"), say("b"), at="1 min"))
    run.wait()
    assert run.texts(1) == ["a"]
    assert run.send(Jump("far")).texts(2) == ["far", "far"]


def test_conditions_are_asked_at_each_items_turn() -> None:
    """An entry of which nothing has its turn leaves no gap; one may set facts."""
    run = on_air(
        entry(say("lit", when="lamp"), at="1 min"),
        entry(remember(lamp=True), say("now lit", when="lamp"), at="2 min"),
    )
    run.wait()
    assert run.texts(1) == ["two"]
    run.wait()
    assert run.texts(2) == ["now lit", "one"]


def test_the_end_of_a_session_drops_what_waits() -> None:
    """And tells so."""
    run = on_air(entry(say("quarter"), at="1 min"))
    run.wait()
    run.send(EndSession())
    assert run.border() is None
    assert [type(event) for event in run.told[-2:]] == [TimetableDropped, SessionEnded]


def test_the_next_session_has_the_whole_timetable_again() -> None:
    """Times count from its own start."""
    run = on_air(entry(say("quarter"), at="1 min"))
    run.wait()
    run.send(EndSession()).border()
    run.after(100).send(StartSession()).border()
    assert run.wait() == MINUTE
    assert run.texts(1) == ["quarter"]


def test_a_held_session_is_not_due_by_its_time() -> None:
    """The session's clock stands still; how late an entry is does not grow either."""
    run = on_air(entry(say("quarter"), at="1 min", late="30 s"))
    run.after(50).send(Hold())
    assert run.story.frames_until_change(run.state, run.frame) is None
    run.after(1000).send(Resume())
    assert run.wait() == 10 * RATE
    run.after(20).send(Hold()).after(1000)
    assert run.border() is None
    assert run.after(10).send(Resume()).texts(1) == ["quarter"]


# --- by the clock on the wall -------------------------------------------------------------------

PIPS = entry(pips(6), say("nine"), daily="21:00", late="2 s")


def test_an_entry_lands_on_its_mark_at_a_border() -> None:
    """next_mark tells where; before it the running order goes on, on it the entry goes out."""
    run = on_air(entry(say("nine"), daily="21:00"))
    mark = run.frame + 20 * RATE
    run.send(TimetableDue(0, mark))
    assert run.story.next_mark(run.state, run.frame) == mark
    assert run.after(10).texts(1) == ["two"]
    run.frame = mark
    assert run.story.next_mark(run.state, run.frame) is None
    assert run.texts(2) == ["nine", "one"]


def test_the_last_pip_is_on_the_mark() -> None:
    """Six pips begin five seconds before."""
    run = on_air(PIPS).send(TimetableDue(0, 100 * RATE))
    assert run.story.next_mark(run.state, run.frame) == 95 * RATE


def test_what_lands_comes_before_what_only_waits() -> None:
    """Though the other was due earlier."""
    run = on_air(entry(say("quarter"), at="1 min"), entry(say("nine"), daily="21:00"))
    run.wait()
    run.send(TimetableDue(1, run.frame + RATE)).after(1)
    assert run.texts(3) == ["nine", "quarter", "two"]


def test_what_lands_goes_between_the_items_of_another_entry() -> None:
    """And the other goes on after it."""
    run = on_air(entry(say("a"), say("b"), at="1 min"), entry(say("nine"), daily="21:00"))
    run.wait()
    run.send(TimetableDue(1, run.frame + RATE))
    assert run.texts(1) == ["a"]
    assert run.after(1).texts(3) == ["nine", "b", "two"]


def test_an_entry_is_never_put_in_between_its_own_items() -> None:
    """Due again while it goes out, it goes out once more after."""
    run = on_air(entry(say("a"), say("b"), daily="21:00"))
    run.send(TimetableDue(0, run.frame + RATE)).after(1)
    assert run.texts(1) == ["a"]
    run.send(TimetableDue(0, run.frame + RATE)).after(1)
    assert run.story.next_mark(run.state, run.frame) is None
    assert run.texts(4) == ["b", "a", "b", "two"]


def test_an_entry_that_missed_its_mark_is_late() -> None:
    """Within its limit it goes out at the next border, else it is dropped."""
    run = on_air(PIPS).send(TimetableDue(0, 20 * RATE))
    run.frame = 17 * RATE
    assert run.texts(1) == ["6 pips"]
    run = on_air(PIPS).send(TimetableDue(0, 20 * RATE))
    run.frame = 17 * RATE + 1
    assert run.texts(1) == ["two"]
    assert run.heard(TimetableDropped)


def test_without_a_mark_an_entry_is_due_now() -> None:
    """At the next border."""
    run = on_air(entry(say("nine"), daily="21:00")).send(TimetableDue(0))
    assert run.texts(2) == ["nine", "two"]


def test_a_segment_lands_too() -> None:
    """`daily: 21:00` with a segment moves the story on the mark, not before."""
    run = on_air(entry(segment="far", daily="21:00")).send(TimetableDue(0, 20 * RATE))
    assert run.texts(1) == ["two"]
    run.frame = 20 * RATE
    assert run.texts(1) == ["far"]


def test_without_a_session_the_timetable_is_dropped() -> None:
    """A sentence tells which entry."""
    run = Run(programme({"watch": segment(say("one"))}, timetable=(PIPS,)))
    run.send(TimetableDue(0, 20 * RATE))
    assert run.told == [
        TimetableDropped(0, 0, "The timetable's `daily: 21:00` is dropped: no session is on air.")
    ]


@pytest.mark.parametrize("number", [-1, 1, 99])
def test_an_entry_that_does_not_exist_is_refused(number: int) -> None:
    """Whoever sends it."""
    run = on_air(PIPS).send(TimetableDue(number))
    assert run.told[-1] == Refused(run.frame, f"The timetable has no entry {number}.")


def test_the_clock_on_the_wall_does_not_wait_for_a_held_session() -> None:
    """What should have landed meanwhile is late when the session goes on."""
    run = on_air(PIPS).send(TimetableDue(0, 20 * RATE)).send(Hold())
    assert run.after(60).border() is None
    run.send(Resume())
    assert run.texts(1) == ["two"]
    assert len(run.heard(TimetableDropped)) == 1


@given(
    st.integers(0, 50),
    st.lists(st.tuples(st.integers(1, 200), st.booleans()), max_size=25),
)
def test_session_time_tells_each_due_moment_once_however_it_is_asked(
    first: int, steps: list[tuple[int, bool]]
) -> None:
    """In every span between two looks, an entry is due once if one of its moments lies in it."""
    every = 30
    run = on_air(entry(say("a"), every=f"{every} s", **{"from": f"{first} s"}, late="100 h"))
    run.texts(2)  # `from: 0 s` is due at once
    began, looked, expected, told = run.frame, 0, 0, 0
    for seconds, facts in steps:
        run.after(seconds)
        now = (run.frame - began) // RATE
        due = [m for m in range(first, now + 1, every) if m > looked]
        looked = now
        expected += bool(due)
        if facts:
            run.send(SetFact("lamp", True))
        told += "a" in run.texts(2)
    assert told == expected
