"""The sliders of the signal's sheet: what moves them, what they show, what takes a move back."""

import pytest

from broadcaster.console.hands.sheets import Works
from broadcaster.console.sliders import Slider
from broadcaster.script.programme import Station
from broadcaster.story.events import (
    OutEvent,
    ReadabilityChanged,
    SetReadability,
    SetSignal,
    SignalChanged,
)
from tests.console.scene import at, on_air, opened, programme
from tests.console.screen import on_console
from tests.console.test_board import view_after
from tests.console.test_hand import Desk, desk

BY_SCRIPT = SignalChanged(at(3), 3.2, "the script")
BY_HAND = SignalChanged(at(9), 2.0, "the operator")


def at_the_sliders(*events: OutEvent) -> Desk:
    """The hand on the signal's sheet, while something is on air."""
    trial = desk(*on_air(), *events)
    trial.hand.turn_to(Works.SIGNAL)
    return trial


# --- what is shown ------------------------------------------------------------------------------


def test_a_station_that_tells_nothing_has_the_full_signal():
    """And everything sounds as it does, where the script says nothing."""
    reception = view_after(*on_air()).reception
    assert (reception.strength, reception.set_strength, reception.grade) == (5.0, None, None)


def test_who_set_the_signal_is_told():
    """The script's own strength is nobody's wish; the operator's is."""
    assert view_after(*on_air(), BY_SCRIPT).reception.set_strength is None
    assert view_after(*on_air(), BY_SCRIPT, BY_HAND).reception.set_strength == 2.0


def test_another_station_begins_with_the_script():
    """What the operator said to the one before is not shown of it."""
    told = (*on_air(), BY_HAND, ReadabilityChanged(at(9), 2.0))
    reception = view_after(*told, opened()).reception
    assert (reception.set_strength, reception.set_grade) == (None, None)


@pytest.mark.parametrize(("own", "grade"), [(None, 4.0), (2.5, 2.5)])
def test_the_script_s_readability_is_the_innermost(own, grade):
    """The segment's before the station's; the operator's before both."""
    script = programme()
    watch = script.segments["watch"].model_copy(update={"readability": own})
    station = Station(callsign="Heron", frequency=91.3e6, voice="keeper", readability=4.0)
    changes = {"station": station, "segments": {**script.segments, "watch": watch}}
    script = script.model_copy(update=changes)
    assert view_after(*on_air(), script=script).reception.grade == grade
    wanted = ReadabilityChanged(at(9), 1.5)
    assert view_after(*on_air(), wanted, script=script).reception.grade == 1.5


# --- keys ---------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("slider", "marks"),
    [
        (Slider.SIGNAL, [0, 0.5, 1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5]),
        (Slider.READABILITY, [1, 1.5, 2, 2.5, 3, 3.5, 4, 4.5, 5]),
    ],
)
def test_the_marks_are_halves(slider, marks):
    """From end to end of the scale."""
    assert list(slider.marks) == marks


def test_a_step_goes_to_the_next_mark():
    """Also from where no mark is; quick steps count on; at the end it stays."""
    trial = at_the_sliders(BY_SCRIPT)
    assert trial.press("left") == [SetSignal(3.0)]
    assert trial.press("left", "-") == [SetSignal(2.5), SetSignal(2.0)]
    trial.clock.wait(2)
    assert trial.press("+") == [SetSignal(3.5)]
    full = at_the_sliders()
    assert full.press("right") == [SetSignal(5.0)]


def test_readability_is_the_second_slider():
    """From what holds; where nothing does, from the best."""
    trial = at_the_sliders()
    assert trial.press("down", "left") == [SetReadability(4.5)]
    told = at_the_sliders(ReadabilityChanged(at(9), 2.0))
    assert told.press("down", "right") == [SetReadability(2.5)]


def test_the_space_bar_leaves_a_slider_to_the_script():
    """And says so."""
    trial = at_the_sliders(BY_HAND)
    assert trial.press(" ") == [SetSignal(None)]
    assert trial.hand.remark == "The signal is as the script says."


def test_letters_and_figures_move_nothing():
    """They say what does."""
    trial = at_the_sliders()
    assert trial.press("3", "x", "enter") == []
    assert trial.hand.remark.startswith("← → move the slider.")


def test_a_move_is_taken_back_whole():
    """Steps in a row are one move; the script has the slider again."""
    trial = at_the_sliders(BY_SCRIPT)
    trial.press("left", "left", "left")
    trial.board.apply(SignalChanged(at(11), 2.0, "the operator"))
    assert trial.press("ctrl+z") == [SetSignal(None)]
    assert trial.hand.remark == "Taken back: the signal, to what the script says."


def test_readability_is_taken_back_to_what_it_was():
    """To the operator's own, if that was before."""
    trial = at_the_sliders(ReadabilityChanged(at(9), 2.0))
    trial.press("down", "right")
    trial.board.apply(ReadabilityChanged(at(11), 2.5))
    assert trial.press("ctrl+z") == [SetReadability(2.0)]


def test_what_another_moved_since_is_not_taken_back():
    """The slider does not stand where this hand put it."""
    trial = at_the_sliders()
    trial.press("left")
    trial.board.apply(SignalChanged(at(11), 1.0, "the operator"))
    trial.clock.wait(2)
    assert trial.press("ctrl+z") == []


# --- the mouse ----------------------------------------------------------------------------------


def test_a_click_on_a_mark_puts_the_slider_there():
    """The name only chooses it."""

    async def work(trial):
        await trial.press("tab", "tab", "tab", "tab")
        assert await trial.click("signal", "readability") == []
        assert "▸ readability" in trial.text("signal")
        assert await trial.click("signal", "2 · 3 · 4 · 5") == [SetReadability(3.5)]
        assert await trial.click("signal", "Space") == [SetReadability(None)]

    on_console(work, *on_air())


def test_steps_a_while_apart_are_acts_of_their_own():
    """Each is taken back by itself; those in a row count as one."""
    trial = at_the_sliders(BY_SCRIPT)
    for keys, strength in ((("left", "left", "left"), 2.0), (("left",), 1.5)):
        trial.press(*keys)
        trial.board.apply(SignalChanged(at(11), strength, "the operator"))
        trial.clock.wait(3)
    assert trial.press("ctrl+z") == [SetSignal(2.0)]
    trial.board.apply(SignalChanged(at(17), 2.0, "the operator"))
    trial.clock.wait(3)
    assert trial.press("ctrl+z") == [SetSignal(None)]
