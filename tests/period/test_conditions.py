"""The dials of a reception: where they stand, how they glide, and what follows them."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from broadcaster.period.conditions import CELL, Conditions, Dial
from broadcaster.units import Samples, gain_from_db
from tests.period.streams import db


def test_a_dial_glides_in_a_straight_line() -> None:
    """It begins where it is turned, is half way at half time and arrives at the end."""
    dial = Dial(1.0, 0.0, 2.0)
    dial.turn(10 * CELL, 2.0, 20 * CELL)
    assert [dial.at(cell * CELL) for cell in (0, 10, 20, 30, 1000)] == [1.0, 1.0, 1.5, 2.0, 2.0]
    assert dial.still_from == 30 * CELL


def test_a_dial_stays_within_its_ends() -> None:
    """Turned too far it stops at its end, whether at birth or later."""
    assert Dial(7.0, 0.0, 5.0).at(0) == 5.0
    dial = Dial(2.0, 0.0, 5.0)
    dial.turn(0, -1.0, 0)
    assert dial.at(CELL) == 0.0


def test_a_dial_turned_again_goes_on_from_where_it_stands() -> None:
    """A second turn begins at the value that the first had reached."""
    dial = Dial(0.0, 0.0, 2.0)
    dial.turn(0, 2.0, 10 * CELL)
    dial.turn(5 * CELL, 0.0, 10 * CELL)
    assert [dial.at(cell * CELL) for cell in (0, 5, 10, 15)] == [0.0, 1.0, 0.5, 0.0]


def test_a_dial_forgets_what_nobody_asks_for() -> None:
    """Turned a thousand times, it remembers no more than it needs, and stands where it stood."""
    dial = Dial(1.0, 0.0, 2.0)
    for turn in range(1000):
        dial.turn(turn * CELL, turn % 3, 50 * CELL)
        dial.forget_before(turn * CELL)
        assert len(dial._knots) <= 3
    middle = dial.at(1010 * CELL)
    dial.forget_before(1010 * CELL)
    assert dial.at(1010 * CELL) == middle


def read(conditions: Conditions, lengths: list[int], frames: int) -> Samples:
    """The programme's gain over so many frames, read as cut."""
    parts, done = [], 0
    for length in [*lengths, frames]:
        length = min(length, frames - done)
        if length:
            gain = conditions.programme.read(done, length)
            parts.append(np.ones(length, np.float32) * gain)
        done += length
    return np.concatenate(parts)


@settings(deadline=None, max_examples=50)
@given(st.lists(st.integers(1, 700), max_size=20))
def test_a_follower_is_block_proof(lengths: list[int]) -> None:
    """While dials glide over each other, any cutting reads the same bits."""

    def turned() -> Conditions:
        conditions = Conditions(bed_to_programme=0.02)
        conditions.turn(100, 900, roughness=1.8)
        conditions.turn(500, 200, strength=2.5)
        return conditions

    whole = read(turned(), [], 3000)
    np.testing.assert_array_equal(read(turned(), lengths, 3000), whole)


def test_a_turn_changes_no_frame_before_it_and_leaps_nowhere() -> None:
    """Turned in the middle of a glide, the gain bends but does not step."""
    conditions = Conditions()
    conditions.turn(0, 100 * CELL, strength=0.0)
    before = read(conditions, [], 50 * CELL)
    conditions.turn(50 * CELL - 7, 10 * CELL, strength=5.0)
    gain = read(conditions, [], 200 * CELL)
    np.testing.assert_array_equal(gain[: 50 * CELL - 7], before[: 50 * CELL - 7])
    assert np.abs(np.diff(gain)).max() < 0.01
    assert gain[-1] == 1.0


def test_as_written_nothing_changes() -> None:
    """At roughness 1 and strength 5 programme and beds pass as they are, and no noise is added."""
    conditions = Conditions(bed_to_programme=0.1)
    assert conditions.programme.read(0, 10) == 1.0
    assert conditions.beds.read(0, 10) == 1.0
    assert conditions.empty_channel.read(0, 10) == 0.0


def test_a_step_of_roughness_is_forty_decibels() -> None:
    """From roughness 1 to 2 the beds rise by 40 dB over the programme, and to 0 they fall so."""
    for roughness, expected in ((0.0, -40.0), (0.5, -20.0), (1.5, 20.0), (2.0, 40.0)):
        conditions = Conditions(roughness, bed_to_programme=0.01)
        over = conditions.beds.read(0, 1) / conditions.programme.read(0, 1)
        assert db(float(over)) == pytest.approx(expected, abs=1e-4)


@pytest.mark.parametrize("ratio", [0.0, 1e-4, 0.1, 1.0])
def test_the_total_is_steady(ratio: float) -> None:
    """Whatever the dials say, programme, beds and empty channel add up to the same power."""
    for roughness in np.linspace(0.0, 2.0, 9):
        for strength in np.linspace(0.0, 5.0, 11):
            conditions = Conditions(float(roughness), float(strength), bed_to_programme=ratio)
            programme, beds, empty = (
                float(follower.read(0, 1))
                for follower in (conditions.programme, conditions.beds, conditions.empty_channel)
            )
            total = programme**2 + ratio * beds**2 + empty**2
            assert total == pytest.approx(1.0 + ratio, rel=1e-5)


def test_noise_over_programme_rises_with_either_dial() -> None:
    """More roughness or less strength is never less noise against the programme."""

    def noise_to_programme(roughness: float, strength: float) -> float:
        conditions = Conditions(roughness, strength, bed_to_programme=0.02)
        noise = np.hypot(
            conditions.beds.read(0, 1) * np.sqrt(0.02), conditions.empty_channel.read(0, 1)
        )
        return float(noise / max(conditions.programme.read(0, 1), np.float32(1e-9)))

    by_roughness = [noise_to_programme(value, 3.0) for value in np.linspace(0.0, 2.0, 41)]
    by_strength = [noise_to_programme(1.0, value) for value in np.linspace(5.0, 0.0, 41)]
    assert np.all(np.diff(by_roughness) > 0.0)
    assert np.all(np.diff(by_strength) > 0.0)


def test_at_strength_nought_there_is_noise_alone() -> None:
    """The programme is gone, and an empty channel is as loud as it was."""
    conditions = Conditions(strength=0.0)
    assert conditions.programme.read(0, 1) == 0.0
    assert conditions.empty_channel.read(0, 1) == 1.0


def test_strength_is_what_the_table_says() -> None:
    """At S 3 the noise of the empty channel is 12 dB under the total."""
    assert Conditions(strength=3.0).empty_channel.read(0, 1) == np.float32(gain_from_db(-12.0))
