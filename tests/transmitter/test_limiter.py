"""The limiter: a ceiling that is a guarantee, and nothing else when there is nothing to do."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from broadcaster.transmitter.limiter import Limiter
from broadcaster.units import gain_from_db
from tests.period.streams import db, in_blocks, noise


def test_latency_is_exact() -> None:
    """A pulse under the ceiling arrives untouched, `latency` frames (5.4 ms) late."""
    pulse = np.zeros(2_000, np.float32)
    pulse[100] = 0.5
    expected = np.zeros(2_000, np.float32)
    expected[100 + Limiter.latency] = 0.5
    np.testing.assert_array_equal(in_blocks(Limiter(-1.0), pulse), expected)
    assert Limiter.latency == 261


def test_under_the_ceiling_nothing_changes() -> None:
    """Sound whose samples stay under half the ceiling comes out bit for bit."""
    programme = np.clip(noise(50_000, 0.3), -0.44, 0.44)
    out = in_blocks(Limiter(-1.0), programme)
    np.testing.assert_array_equal(out[Limiter.latency :], programme[: -Limiter.latency])


@settings(max_examples=60, deadline=None)
@given(
    seed=st.integers(0, 2**32 - 1),
    level=st.floats(0.05, 20.0),
    clicks=st.lists(st.tuples(st.integers(0, 3_999), st.floats(-100.0, 100.0)), max_size=8),
    square=st.integers(0, 2_000),
    ceiling_dbfs=st.floats(-20.0, 0.0),
)
def test_ceiling_holds(
    seed: int, level: float, clicks: list[tuple[int, float]], square: int, ceiling_dbfs: float
) -> None:
    """Whatever comes in, noise, squares and clicks, no sample passes the ceiling."""
    programme = noise(4_000, level, seed)
    programme[:square] = np.where(np.arange(square) // 37 % 2, level, -level)
    for place, height in clicks:
        programme[place] = height
    out = in_blocks(Limiter(ceiling_dbfs), np.concatenate([programme, np.zeros(300, np.float32)]))
    assert np.abs(out).max() <= np.float32(gain_from_db(ceiling_dbfs))


def test_a_loud_tone_just_reaches_the_ceiling() -> None:
    """A tone 12 dB over the ceiling comes out 0.1 dB under it or better, and stays a tone."""
    tone = (4.0 * np.sin(2.0 * np.pi * 1000.0 / 48_000.0 * np.arange(48_000))).astype(np.float32)
    out = in_blocks(Limiter(-1.0), tone)[4_800:]
    assert -0.1 < db(np.abs(out).max()) - -1.0 <= 0.0
    lines = np.abs(np.fft.rfft(out[:43_200].astype(np.float64)))
    assert db(np.delete(lines, 900).max() / lines[900]) < -60.0


def test_gain_moves_without_steps() -> None:
    """Around a click 20 dB over the ceiling, the gain of a steady sound never jumps."""
    steady = np.full(40_000, 0.5, np.float32)
    steady[10_000] = 9.0
    out = np.delete(in_blocks(Limiter(-1.0), steady)[Limiter.latency :], 10_000)
    assert np.abs(np.diff(out)).max() < 0.5 / 100.0


def test_recovery_takes_its_time() -> None:
    """After a click 20 dB over the ceiling the gain is back within 0.4 s, and not at once."""
    steady = np.full(48_000, 0.5, np.float32)
    steady[10_000] = 9.0
    out = in_blocks(Limiter(-1.0), steady)[Limiter.latency :]
    assert out[10_000 + 4_800] < 0.3
    assert out[10_000 + 20_000] == pytest.approx(0.5)
