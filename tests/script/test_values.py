"""How single values are written, and what is said of those that are not."""

from datetime import time

import pytest

from broadcaster.errors import UnreadableError
from broadcaster.script import clock_times, facts, values
from broadcaster.script.durations import written_seconds
from broadcaster.script.template import ValueText, parse_template


@pytest.mark.parametrize(
    ("convert", "written", "value"),
    [
        (values.seconds, "4 s", 4.0),
        (values.seconds, " 250 ms ", 0.25),
        (values.seconds, "1.5s", 1.5),
        (values.seconds, "1 h 10 min", 4200.0),
        (values.seconds, "1h10min", 4200.0),
        (values.hertz, "91.3 MHz", 91.3e6),
        (values.hertz, "4.5kHz", 4500.0),
        (values.hertz, "650 Hz", 650.0),
        (values.decibels, "-6 dB", -6.0),
        (values.decibels, "+1.5 dB", 1.5),
        (values.words_per_minute, "6 wpm", 6.0),
        (values.whole, "007", 7),
        (values.yes_or_no, "no", False),
        (facts.fact_value, "no", False),
        (facts.fact_value, "-3", -3),
        (facts.fact_value, "0", 0),
        (facts.fact_value, "half open", "half open"),
        (facts.integer, "-3", -3),
        (values.rounds, "3 rounds", 3),
        (clock_times.clock_time, "21:00", time(21)),
        (clock_times.clock_time, "6:05:30", time(6, 5, 30)),
        (clock_times.days, "fri mon", ("mon", "fri")),
    ],
)
def test_a_value_is_converted_by_the_field_that_wants_it(convert, written, value):
    """Numbers have their units; a fact is a yes or no, or a whole number."""
    assert convert(written) == value
    assert type(convert(written)) is type(value)
    assert convert(value) == value


@pytest.mark.parametrize(
    ("convert", "written"),
    [
        (values.seconds, "4"),
        (values.seconds, "4 sec"),
        (values.seconds, "s 4"),
        (values.seconds, "-4 s"),
        (values.seconds, "4 s and"),
        (values.seconds, "1001 h"),
        (values.seconds, "9" * 400 + " s"),
        (values.hertz, "650"),
        (values.hertz, "650 hz"),
        (values.hertz, "1e3 Hz"),
        (values.decibels, "6"),
        (values.words_per_minute, "6"),
        (values.whole, "-1"),
        (values.whole, "1e3"),
        (values.whole, "٣"),
        (values.yes_or_no, "Yes"),
        (values.yes_or_no, "true"),
        (facts.fact_value, " "),
        (facts.fact_value, ["yes"]),
        (facts.integer, "0x10"),
        (facts.integer, "2.5"),
        (values.rounds, "3"),
        (values.rounds, "3 times"),
        (clock_times.clock_time, "24:00"),
        (clock_times.clock_time, "9 pm"),
        (clock_times.clock_time, "21.00"),
        (clock_times.days, "monday"),
        (clock_times.days, ""),
        (values.seconds, ["4 s"]),
        (values.yes_or_no, {"yes": "no"}),
    ],
)
def test_anything_else_is_refused_with_the_way_to_write_it(convert, written):
    """Nothing is guessed: no other spelling, no bare number where a unit belongs."""
    with pytest.raises(UnreadableError) as refused:
        convert(written)
    assert refused.value.mend


def test_a_text_knows_its_facts_and_where_their_names_stand():
    """Braces mark facts; spaces inside them do not count."""
    text = parse_template("{lamp} and { crates } open")
    assert text.facts == (ValueText("lamp", 1), ValueText("crates", 13))
    assert text.fill({"lamp": "yes", "crates": "4"}.__getitem__) == "yes and 4 open"


def test_a_chord_is_its_frequencies():
    """Frequencies with plus signs between; each error stands at its part."""
    assert values.chord_hertz("440 Hz") == (440.0,)
    assert values.chord_hertz("440 Hz + 0.55 kHz+1 kHz") == (440.0, 550.0, 1000.0)
    for written, offset in (("440 Hz +", 8), ("440 Hz + 10 Hz", 9), ("", 0), ("+ 440 Hz", 0)):
        with pytest.raises(UnreadableError) as refused:
            values.chord_hertz(written)
        assert refused.value.offset == offset


@pytest.mark.parametrize(
    ("length_s", "written"),
    [(0, "0 s"), (0.25, "250 ms"), (1.5, "1.5 s"), (90, "90 s"), (600, "10 min"), (7200, "2 h")],
)
def test_a_length_is_said_as_a_writer_writes_it(length_s, written):
    """The unit is the largest that divides the length."""
    assert written_seconds(length_s) == written
    assert values.seconds(written) == length_s
