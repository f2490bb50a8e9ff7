"""Reception: one continuous stream, with static over a jump."""

import numpy as np
import pytest

from broadcaster.period.reception import Reception
from broadcaster.script.sounds import Sound
from tests.period.streams import EVERYTHING, db, in_blocks, rms, speechlike

NOTHING = Sound(about="A wire.")


def test_without_processors_it_is_a_wire() -> None:
    """A sound without processors lets the programme through, but for the floor at -160 dB."""
    programme = speechlike(10_000)
    np.testing.assert_allclose(in_blocks(Reception(NOTHING, 1), programme), programme, atol=1e-7)


def test_seed_decides() -> None:
    """The same seed gives the same samples, another seed others."""
    programme = speechlike(20_000)
    first, again, other = (in_blocks(Reception(EVERYTHING, seed), programme) for seed in (1, 1, 2))
    np.testing.assert_array_equal(first, again)
    assert rms(first - other) > 1e-3


def test_two_beds_of_one_kind_are_independent() -> None:
    """Two rows of the same kind do not add up to one twice as loud."""
    hiss = {"hiss": "-40 dB"}
    single = Sound.model_validate({"about": "One.", "processors": [hiss]})
    double = Sound.model_validate({"about": "Two.", "processors": [hiss, hiss]})
    quiet = np.zeros(480_000, np.float32)
    gain = rms(in_blocks(Reception(double, 1), quiet)) / rms(in_blocks(Reception(single, 1), quiet))
    assert db(gain) == pytest.approx(3.01, abs=0.1)


def test_static_comes_up_and_the_programme_sinks() -> None:
    """Inside a disturbance the programme is 20 dB down under static at -14 dB; outside nothing."""
    steady = np.full(48_000, 0.25, np.float32)
    reception = Reception(NOTHING, 1)
    reception.disturb(10_000, 12_000)
    out = in_blocks(reception, steady)
    np.testing.assert_allclose(out[:10_000], 0.25, atol=1e-6)
    np.testing.assert_allclose(out[22_000:], 0.25, atol=1e-6)
    inside = out[12_000:20_000]
    assert inside.mean() == pytest.approx(0.025, abs=0.01)
    assert db(rms(inside - inside.mean())) == pytest.approx(-14.0, abs=1.0)


def test_static_has_soft_edges() -> None:
    """It begins and ends without a step: in its first and last millisecond it is hardly there."""
    reception = Reception(NOTHING, 1)
    reception.disturb(1_000, 12_000)
    out = in_blocks(reception, np.full(20_000, 0.25, np.float32))
    assert np.abs(out[1_000:1_048] - 0.25).max() < 0.01
    assert np.abs(out[12_952:13_000] - 0.25).max() < 0.01


@pytest.mark.parametrize("frames", [1, 2, 3, 100])
def test_shortest_bursts(frames: int) -> None:
    """A burst of any length is made, and is over when it should be."""
    reception = Reception(NOTHING, 1)
    reception.disturb(500, frames)
    out = in_blocks(reception, np.full(2_000, 0.25, np.float32))
    np.testing.assert_allclose(np.delete(out, slice(500, 500 + frames)), 0.25, atol=1e-6)


def test_a_frame_gone_by_cannot_be_disturbed() -> None:
    """A disturbance in the past is refused, and so is one without length."""
    reception = Reception(NOTHING, 1)
    reception.process(np.zeros(1_000, np.float32), 0)
    reception.disturb(1_000, 10)
    with pytest.raises(ValueError, match="frame 999 has gone through"):
        reception.disturb(999, 10)
    with pytest.raises(ValueError, match="0 frames"):
        reception.disturb(1_000, 0)


@pytest.mark.parametrize("loop", [1, 100, 959, 8_192, 100_003])
def test_loop_comes_again(loop: int) -> None:
    """Once the filters have settled a loop of any length sounds the same each time (-100 dB)."""
    rounds = 3 + 4_800 // loop
    out = in_blocks(Reception(EVERYTHING, 1, loop), np.tile(speechlike(loop), rounds))
    last, before = out[-loop:], out[-2 * loop : -loop]
    np.testing.assert_allclose(last, before, atol=1e-5)


def test_loop_has_no_seam() -> None:
    """The step from a loop's last frame to its first is like the steps inside it."""
    loop = 100_003
    out = in_blocks(Reception(EVERYTHING, 1, loop), np.tile(speechlike(loop), 2))
    steps = np.abs(np.diff(out[loop:]))
    assert abs(out[loop] - out[-1]) <= steps.max()
