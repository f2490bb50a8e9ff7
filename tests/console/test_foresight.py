"""Which jumps the story would undo at once, as far as it can be known."""

import pytest

from broadcaster.console.foresight import Foresight
from broadcaster.script.conditions import parse_condition
from broadcaster.script.programme import Exit, Programme
from tests.console.scene import programme


def leading(condition: str, *, at_once: bool = True) -> Programme:
    """Low Water, whose gate has one exit."""
    script = programme()
    way_out = Exit(to="end", when=parse_condition(condition), at_once=at_once)
    gate = script.segments["the gate"].model_copy(update={"exits": (way_out,)})
    return script.model_copy(update={"segments": {**script.segments, "the gate": gate}})


@pytest.mark.parametrize("condition", ["lamp_lit", "crates_open > 1 and not gate_open"])
def test_an_exit_that_holds_by_the_facts(condition):
    """The condition is named as the writer wrote it."""
    facts = {"lamp_lit": True, "crates_open": 2, "gate_open": False}
    warning = Foresight(leading(condition)).warning("the gate", facts)
    assert warning == f"its exit `{condition}` holds: the story will move on at once"


@pytest.mark.parametrize(
    "condition",
    ["gate_open", "segment time > 5 s or lamp_lit", "rounds = 0", "met(lamp)", "not stalled"],
)
def test_nothing_is_foretold_otherwise(condition):
    """Not where the facts do not bring it, and not where more than facts is asked for."""
    facts = {"lamp_lit": True, "crates_open": 0, "gate_open": False}
    assert Foresight(leading(condition)).warning("the gate", facts) == ""


def test_an_exit_at_the_end_of_a_round_undoes_no_jump():
    """Only an exit that is taken at once does."""
    script = leading("lamp_lit", at_once=False)
    assert Foresight(script).warning("the gate", {"lamp_lit": True}) == ""
