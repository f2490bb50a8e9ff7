"""The transmitter's band and its ceiling, at the output."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import welch

from broadcaster.transmitter.gain import CELL
from broadcaster.transmitter.transmitter import Transmitter
from broadcaster.units import RATE, gain_from_db
from tests.period.streams import db, in_blocks, noise, response_db, rms, speechlike


def test_band_is_that_of_an_fm_sound_channel() -> None:
    """Level within 0.5 dB from 120 Hz to 15 kHz; -3 dB at 40 Hz (Rec. ITU-R BS.450, BS.644)."""
    levels = response_db(Transmitter(), (120.0, 400.0, 1000.0, 5000.0, 10_000.0, 15_000.0))
    assert np.abs(levels).max() < 0.5
    assert response_db(Transmitter(), (40.0,))[0] == pytest.approx(-3.0, abs=0.5)


def test_nothing_of_it_lies_at_the_pilot_tone() -> None:
    """From 18.9 kHz on it is 60 dB down: room for a stereo transmitter's 19 kHz."""
    above = response_db(Transmitter(), list(range(18_900, 24_000, 25)))
    assert above.max() < -60.0


def test_pilot_stays_clear_while_the_limiter_works() -> None:
    """White noise 10 dB over the ceiling: what lies at 19 kHz is 60 dB under full scale."""
    out = in_blocks(Transmitter(), noise(20 * RATE, 1.0)).astype(np.float64)
    hertz, power = welch(out, RATE, nperseg=4800, window="blackmanharris")
    at_pilot = power[(hertz >= 18_900.0) & (hertz <= 19_100.0)].sum() * (hertz[1] - hertz[0])
    assert 10.0 * np.log10(at_pilot) < -60.0


def test_direct_current_does_not_pass() -> None:
    """A steady half of full scale is 80 dB down after a second."""
    out = in_blocks(Transmitter(), np.full(96_000, 0.5, np.float32))
    assert np.abs(out[48_000:]).max() < 5e-5


@settings(max_examples=40, deadline=None)
@given(
    seed=st.integers(0, 2**32 - 1),
    half_period=st.integers(1, 600),
    level=st.floats(0.2, 4.0),
    clicks=st.lists(st.tuples(st.integers(0, 5_999), st.sampled_from((-1.0, 1.0))), max_size=8),
    ceiling_dbfs=st.sampled_from((-1.0, 0.0, -6.0)),
)
def test_ceiling_holds_at_the_output(
    seed: int,
    half_period: int,
    level: float,
    clicks: list[tuple[int, float]],
    ceiling_dbfs: float,
) -> None:
    """Full-scale squares, noise and clicks: the band's ringing never passes the ceiling."""
    square = np.where(np.arange(6_000) // half_period % 2, level, -level).astype(np.float32)
    programme = np.concatenate([square, noise(6_000, level, seed), np.zeros(600, np.float32)])
    for place, height in clicks:
        programme[place + 6_000] = height
    out = in_blocks(Transmitter(ceiling_dbfs), programme)
    assert np.abs(out).max() <= np.float32(gain_from_db(ceiling_dbfs))


def test_latency_is_stated() -> None:
    """Speech under the ceiling comes `latency` frames late, but for the filter's own phase."""
    transmitter = Transmitter()
    pulse = np.zeros(4_000, np.float32)
    pulse[1_000] = 0.5
    out = in_blocks(transmitter, pulse)
    assert 0 <= int(np.abs(out).argmax()) - (1_000 + transmitter.latency) < 10


def test_ordinary_speech_keeps_its_level() -> None:
    """What peaks under the ceiling keeps its level, within 0.5 dB of what the band leaves of it."""
    programme = speechlike(10 * RATE)
    out = in_blocks(Transmitter(), programme)
    share = 15_000.0 / 24_000.0
    assert db(rms(out) / rms(programme)) == pytest.approx(10.0 * np.log10(share), abs=0.5)


def test_a_loop_has_no_seam() -> None:
    """From its second pass on, a loop of whole cells goes out the same each time (-100 dB)."""
    loop = 3_001 * CELL
    programme = np.tile(speechlike(loop) * np.float32(4.0), 4)
    out = in_blocks(Transmitter(), programme)[Transmitter().latency :]
    np.testing.assert_allclose(out[loop : 2 * loop], out[2 * loop : 3 * loop], atol=1e-5)
