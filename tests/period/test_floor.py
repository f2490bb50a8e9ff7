"""The noise floor and the guard at a chain's entrance."""

import numpy as np

from broadcaster.period.floor import FLOOR, LARGEST, with_floor
from broadcaster.period.reception import Reception
from broadcaster.script.sounds import Sound
from broadcaster.transmitter.transmitter import Transmitter
from tests.period.streams import in_blocks, noise, rms

BANDS = Sound.model_validate(
    {"about": "Filters only.", "processors": [{"band": "100 Hz to 3 kHz"}, {"saturation": "9 dB"}]}
)
SMALLEST = np.finfo(np.float32).tiny


def subnormal(values: np.ndarray) -> np.ndarray:
    """Which numbers are too small for the fast path."""
    return (values != 0.0) & (np.abs(values) < SMALLEST)


def test_floor_is_at_minus_160_decibels() -> None:
    """Silence becomes noise of that RMS."""
    floor = with_floor(np.zeros(50_000, np.float32), 7)
    assert 0.95 < rms(floor) / FLOOR < 1.05


def test_silence_after_sound_leaves_no_subnormal_numbers() -> None:
    """Ten seconds of digital silence after sound: the filters never run down to nothing."""
    reception, transmitter = Reception(BANDS, 1), Transmitter()
    programme = np.concatenate([noise(48_000, 0.3), np.zeros(480_000, np.float32)])
    out = in_blocks(transmitter, in_blocks(reception, programme))
    assert not subnormal(out).any()
    assert 1e-10 < rms(out[-48_000:]) < 1e-6
    assert not subnormal(transmitter._band._state).any()
    assert not subnormal(reception._processors[0]._filter._state).any()  # type: ignore[attr-defined]


def test_numbers_that_are_none_do_not_last() -> None:
    """After NaN and infinity in the programme the broadcast is what it would have been."""
    programme = noise(96_000, 0.1)
    broken = programme.copy()
    broken[1_000:1_003] = np.nan, np.inf, -np.inf
    stream = with_floor(broken, 0)
    assert np.isfinite(stream).all()
    assert np.abs(stream).max() <= LARGEST
    out = in_blocks(Transmitter(), in_blocks(Reception(BANDS, 1), broken))
    expected = in_blocks(Transmitter(), in_blocks(Reception(BANDS, 1), programme))
    assert np.isfinite(out).all()
    np.testing.assert_allclose(out[-4_800:], expected[-4_800:], atol=1e-6)


def test_the_callers_block_stays_as_it_is() -> None:
    """Reception and transmitter never change the array that they are given."""
    block = noise(2_000)
    block.setflags(write=False)
    Transmitter().process(Reception(BANDS, 1).process(block, 0), 0)
