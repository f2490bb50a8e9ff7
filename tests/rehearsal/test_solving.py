"""How a random team meets a milestone: the fewest changes, the least far, as the facts allow."""

import random

import pytest

from broadcaster.errors import UsageError
from broadcaster.rehearsal.solving import solution, tasks_of
from broadcaster.script.conditions import parse_condition
from broadcaster.script.programme import Fact
from broadcaster.units import frames_from_seconds
from tests.rehearsal.make import night_watch
from tests.story.make import programme, say, segment

FACTS = {
    "lamp": Fact(at_first="no"),
    "bell": Fact(at_first="no"),
    "gate": Fact(one_of=("closed", "ajar", "open"), at_first="closed"),
    "crates": Fact(at_first=0, from_=0, to=4),
    "depth": Fact(at_first=7),
}
AT_FIRST = {name: fact.at_first for name, fact in FACTS.items()}


@pytest.mark.parametrize(
    ("condition", "changes"),
    [
        ("lamp", {"lamp": True}),
        ("not lamp", {}),
        ("lamp and bell", {"lamp": True, "bell": True}),
        ("lamp or bell", {"lamp": True}),
        ("lamp != bell", {"lamp": True}),
        ("crates > 2", {"crates": 3}),
        ("crates >= 4", {"crates": 4}),
        ("crates != 0", {"crates": 1}),
        ("depth < 3", {"depth": 2}),
        ("depth = 9", {"depth": 9}),
        ("depth > 10 - 1", {"depth": 10}),
        ('gate = "open"', {"gate": "open"}),
        ('gate != "closed"', {"gate": "ajar"}),
        ("crates > 1 and crates < 4 and not (crates = 2)", {"crates": 3}),
        ("crates > 3 and lamp or bell", {"bell": True}),
        ("crates + depth >= 11", {"crates": 4}),
        ("depth = crates", {"depth": 0}),
        ('lamp and gate = "ajar" and crates = 2', {"lamp": True, "gate": "ajar", "crates": 2}),
    ],
)
def test_the_fewest_changes_will_do(condition, changes):
    """Each kind of comparison, alone and joined."""
    assert solution(parse_condition(condition), AT_FIRST, FACTS) == changes


@pytest.mark.parametrize("condition", ["crates > 4", "lamp and not lamp", 'gate = "wide"'])
def test_what_cannot_be_has_no_solution(condition):
    """Beyond its bounds, or against itself."""
    assert solution(parse_condition(condition), AT_FIRST, FACTS) is None


def test_tasks_come_in_the_order_of_their_targets():
    """The chart may be written in any order; without `usual` a task takes from target to target."""
    lamp, gate = tasks_of(night_watch())
    assert (lamp.milestone, lamp.usual_s, lamp.spread) == ("lamp", 1200.0, 1.8)
    assert (gate.milestone, gate.usual_s, gate.spread) == ("gate", 840.0, 1.5)


def test_half_the_teams_are_quicker_than_usual():
    """The median of 4,000 draws is `usual` within 5 %; two thirds lie within the spread."""
    lamp, _ = tasks_of(night_watch())
    chance = random.Random(4)
    draws = sorted(lamp.frames(chance) for _ in range(4_000))
    usual = frames_from_seconds(1200.0)
    assert abs(draws[2_000] / usual - 1) < 0.05
    within = sum(usual / 1.8 <= draw <= usual * 1.8 for draw in draws)
    assert abs(within / 4_000 - 0.683) < 0.02  # one standard deviation of a normal variable


@pytest.mark.parametrize(
    ("milestones", "sentence"),
    [
        ({}, "Random teams need milestones"),
        ({"late": {"when": "lamp and session time > 5 min", "by": "9 min"}}, "more than facts"),
        ({"five": {"when": "crates > 4", "by": "9 min"}}, "none of 20000 ways"),
    ],
)
def test_a_chart_that_no_team_can_play_is_refused(milestones, sentence):
    """Which milestone, why, and how to mend it."""
    facts = {"lamp": "no", "crates": {"at first": 0, "from": 0, "to": 4}}
    show = programme({"watch": segment(say("one"))}, facts=facts, milestones=milestones)
    with pytest.raises(UsageError, match=sentence):
        tasks_of(show)
