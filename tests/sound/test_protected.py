"""Signals that only real emergencies may use, after 47 CFR 11.31, 11.45, 80.221 and 80.317."""

from pathlib import Path

import pytest

from broadcaster.errors import StationError
from broadcaster.script.programme import Choose, IntervalSignal, Pause, Say, SetFacts, Tone
from broadcaster.script.protected import first_imitation, imitated, strips_of
from broadcaster.sound.make import make_item
from tests.sound.test_make import Tuner

ALARM_NOTES = "C#7 E6 C#7 E6"  # 2,217 and 1,319 Hz
DASH, GAP = Tone(tone="500 Hz", for_=4.0), Pause(pause=1.0)
HIGH, LOW = Tone(tone="2200 Hz", for_=0.25), Tone(tone="1300 Hz", for_=0.25)
SOMETIMES = Say(say="Heron.", when="lamp_lit")


@pytest.mark.parametrize(
    ("item", "name"),
    [
        (Tone(tone="853 Hz + 960 Hz"), "attention"),
        (Tone(tone="440 Hz + 955 Hz + 860 Hz"), "attention"),
        (IntervalSignal(interval_signal=ALARM_NOTES, tempo=240), "radiotelephone"),
        (IntervalSignal(interval_signal=f"C4 E6 {ALARM_NOTES}", tempo=230), "radiotelephone"),
    ],
)
def test_an_item_that_imitates_one_is_refused(item, name):
    """Such an item is never made, whoever asks for it."""
    assert name in imitated(strips_of(item))
    with pytest.raises(StationError, match=name):
        make_item(item, "text", None, Path(), Tuner())


@pytest.mark.parametrize(
    "item",
    [
        Tone(tone="440 Hz + 550 Hz"),
        Tone(tone="853 Hz"),
        Tone(tone="853 Hz + 975 Hz"),
        IntervalSignal(interval_signal=ALARM_NOTES, tempo=96),
        IntervalSignal(interval_signal="C#7 E6 C#7 C7", tempo=240),
        IntervalSignal(interval_signal="G4 C5 E5 rest"),
        DASH,
        Say(say="Heron calling."),
    ],
)
def test_other_items_are_not(item):
    """One of the tones, other tones, or the same notes at another pace are nobody's signal."""
    assert imitated(strips_of(item)) is None


@pytest.mark.parametrize(
    ("play", "repeat", "place"),
    [
        ([DASH, GAP, DASH, GAP, DASH], False, 4),
        ([Say(say="Heron."), DASH, GAP], True, None),
        ([DASH, GAP], True, 0),
        ([HIGH, LOW, HIGH, LOW], False, 3),
        ([HIGH, LOW], True, 1),
        ([HIGH, LOW], False, None),
        ([HIGH.model_copy(update={"times": 9})], True, None),
        ([DASH, Pause(pause=2.0)], True, None),
        ([HIGH, SetFacts(set={"sent": True}), LOW], True, 2),
        ([HIGH, SOMETIMES, LOW], True, 2),
        ([Choose(choose=(HIGH, LOW)), Say(say="Heron.")], True, None),
        ([Choose(choose=(HIGH, LOW))], True, 0),
        ([Choose(choose=(HIGH, Tone(tone="440 Hz"))), LOW], True, 1),
    ],
)
def test_items_in_a_row_may_add_up_to_one(play, repeat, place):
    """Dashes of 4 s and alternating tones are found across items and rounds, whatever is chosen."""
    found = first_imitation(play, repeat=repeat)
    assert (found and found[0]) == place
