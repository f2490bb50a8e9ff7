"""What a condition can turn out to be at all: never less than what it really does."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broadcaster.script.condition_range import impossible, outcomes
from broadcaster.script.conditions import parse_condition
from broadcaster.script.facts import Fact
from broadcaster.story.judging import View, holds

FACTS = {
    "lamp_lit": Fact(at_first=False),
    "crates_open": Fact(at_first=0, from_=0, to=4),
    "tide": Fact(at_first=0, to=3),
    "door": Fact(at_first="ajar", one_of=("ajar", "open")),
}


@pytest.mark.parametrize(
    ("written", "ways"),
    [
        ("lamp_lit", {True, False}),
        ("no", {False}),
        ("not no", {True}),
        ("crates_open > 4", {False}),
        ("crates_open >= 4", {True, False}),
        ("crates_open <= 4", {True}),
        ("crates_open = 5", {False}),
        ("crates_open != 5", {True}),
        ("crates_open + tide > 7", {False}),
        ("crates_open + tide > 6", {True, False}),
        ("crates_open - tide < -3", {False}),
        ("tide < -900", {True, False}),
        ("rounds < 0", {False}),
        ("session time >= 0 s", {True}),
        ("time left < 0 s", {True, False}),
        ("lamp_lit and crates_open > 4", {False}),
        ("lamp_lit or crates_open > 4", {True, False}),
        ("3 > 2", {True}),
        ('door = "open"', {True, False}),
        ("(lamp_lit = yes) = no", {True, False}),
        ("unread > 3", {True, False}),
    ],
)
def test_bounds_decide(written, ways):
    """Numbers by their bounds, counts and times from 0 on, time left without end."""
    assert outcomes(parse_condition(written).root, FACTS | {"unread": None}) == ways


def test_the_comparison_that_never_holds_is_found():
    """The first of them, wherever it stands."""
    condition = parse_condition("lamp_lit and (tide > 1 and crates_open > 4)")
    assert [node.offset for node in impossible(condition.root, FACTS)] == [39]


numbers = st.sampled_from(["crates_open", "tide", "rounds", "2", "-1", "crates_open + tide"])
comparisons = st.builds(
    "({} {} {})".format, numbers, st.sampled_from(["=", "!=", "<", "<=", ">", ">="]), numbers
)
conditions = st.recursive(
    st.one_of(comparisons, st.sampled_from(["lamp_lit", "yes", "no"])),
    lambda inner: st.one_of(
        st.builds("({} and {})".format, inner, inner),
        st.builds("({} or {})".format, inner, inner),
        st.builds("(not {})".format, inner),
    ),
    max_leaves=8,
)


@given(conditions, st.booleans(), st.integers(0, 4), st.integers(-5, 3), st.integers(0, 9))
def test_what_happens_was_possible(written, lit, crates, tide, rounds):
    """Whatever the story makes of a condition is among the ways in which it can turn out."""
    condition = parse_condition(written)
    facts = {"lamp_lit": lit, "crates_open": crates, "tide": tide, "door": "ajar"}
    view = View(facts, {}, {"rounds": rounds})
    assert holds(condition, view) in outcomes(condition.root, FACTS)
