"""Conditions: whether they hold, and exactly when they will."""

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from broadcaster.script.conditions import parse_condition
from broadcaster.story.judging import Line, View, frames_until_true, holds

MINUTE = 60 * 48_000


def view(session: int = 0, quiet: int = 0, **facts: bool | int) -> View:
    times = {
        "session time": Line(session, 1),
        "segment time": Line(session, 1),
        "quiet time": Line(quiet, 1),
        "time left": Line(60 * MINUTE - session, -1),
    }
    return View({"lamp": False, "gate": False, "crates": 0, **facts}, times, {"rounds": 2})


@pytest.mark.parametrize(
    ("condition", "facts", "truth"),
    [
        ("lamp", {"lamp": True}, True),
        ("not lamp", {}, True),
        ("lamp or gate and not lamp", {"gate": True}, True),
        ("(lamp or gate) and lamp", {"gate": True}, False),
        ("crates > 2", {"crates": 3}, True),
        ("crates + 1 >= 4 - 1", {"crates": 2}, True),
        ("crates = 2", {"crates": 2}, True),
        ("crates != 2", {"crates": 2}, False),
        ("lamp = gate", {}, True),
        ("rounds >= 2", {}, True),
        ("rounds < 2", {}, False),
    ],
)
def test_conditions_hold_as_read(condition: str, facts: dict[str, bool | int], truth: bool) -> None:
    """`and` binds tighter than `or`, sums tighter than comparisons."""
    assert holds(parse_condition(condition), view(**facts)) is truth


@pytest.mark.parametrize(
    ("condition", "frames"),
    [
        ("session time >= 2 min", 2 * MINUTE),
        ("session time > 2 min", 2 * MINUTE + 1),
        ("time left < 1 min", 59 * MINUTE + 1),
        ("time left <= 1 min", 59 * MINUTE),
        ("session time >= 0 s", 0),
        ("session time >= time left", 30 * MINUTE),
        ("lamp and session time > 1 min", None),
        ("crates > 3", None),
        ("not session time < 3 min", 3 * MINUTE),
        ("session time > 1 min and session time < 2 min", MINUTE + 1),
        ("session time = 1 min", MINUTE),
    ],
)
def test_the_frame_on_which_time_makes_it_true(condition: str, frames: int | None) -> None:
    """Exact to the frame, for every comparison of times that move."""
    assert frames_until_true(parse_condition(condition), view()) == frames


CLOCKS = st.sampled_from(["session time", "quiet time", "time left"])
OPERATORS = st.sampled_from(["<", "<=", ">", ">=", "=", "!="])


@st.composite
def comparisons(draw: st.DrawFn) -> str:
    limit = draw(st.integers(0, 4))
    left, right = draw(CLOCKS), draw(st.one_of(CLOCKS, st.just(f"{limit} ms")))
    return f"{left} {draw(OPERATORS)} {right}"


@settings(max_examples=60, deadline=None)
@given(st.lists(comparisons(), min_size=1, max_size=3), st.sampled_from(["and", "or"]))
def test_no_earlier_frame_is_missed(parts: list[str], joint: str) -> None:
    """Looking at the crossings alone finds the same frame as looking at every frame."""
    condition = parse_condition(f" {joint} ".join(parts))
    start = View(
        {}, {"session time": Line(3, 1), "quiet time": Line(0, 1), "time left": Line(200, -1)}, {}
    )
    by_hand = next((f for f in range(450) if holds(condition, start.later(f))), None)
    found = frames_until_true(condition, start)
    assert found == by_hand


@pytest.mark.parametrize(
    ("condition", "truth"),
    [
        ("stalled", True),
        ("stalled(lamp)", True),
        ("stalled(gate)", False),
        ("met(gate) and not met(lamp)", True),
        ("hints given = 2", True),
        ("hints given + rounds > 4", False),
        ('door = "ajar"', True),
        ('"ajar" = door', True),
        ('door != "ajar"', False),
        ("door = other", False),
        ("door != other", True),
        ("not (stalled(gate) or met(lamp))", True),
    ],
)
def test_conditions_ask_for_milestones_hints_and_names(condition: str, truth: bool) -> None:
    """A milestone is stalled or met by its name; names are compared as they are."""
    scene = View(
        {"door": "ajar", "other": "open"},
        {},
        {"rounds": 2, "hints given": 2},
        stalled=frozenset({"lamp"}),
        met=frozenset({"gate"}),
    )
    assert holds(parse_condition(condition), scene) is truth
    assert frames_until_true(parse_condition(condition), scene) == (0 if truth else None)


def test_without_a_milestone_stalled_none_is() -> None:
    """`stalled` asks for any."""
    assert not holds(parse_condition("stalled"), view())


def test_names_beside_times_do_not_hide_the_frame() -> None:
    """A comparison of names has no crossing of its own."""
    scene = View({"door": "ajar"}, {"session time": Line(0, 1)}, {})
    condition = parse_condition('door = "ajar" and session time >= 2 s')
    assert frames_until_true(condition, scene) == 96_000
