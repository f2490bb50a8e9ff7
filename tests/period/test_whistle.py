"""A heterodyne whistle: how loud, how high, how steady."""

import numpy as np
import pytest
from scipy.signal import hilbert

from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.whistle import Whistle
from tests.period.streams import db, in_blocks, rms

RATE = 2_000


@pytest.fixture(scope="module")
def beat() -> np.ndarray:
    """An hour of a whistle at 500 Hz that strays by 1 Hz and 3 dB; its analytic signal."""
    processor = Whistle(-30.0, 500.0, 1.0, 3.0, RATE, Chance(2, "whistle"), Conditions())
    return hilbert(in_blocks(processor, np.zeros(3_600 * RATE, np.float32)).astype(np.float64))


def test_level(beat: np.ndarray) -> None:
    """Its RMS is as stated, within 0.5 dB."""
    assert db(rms(beat.real)) == pytest.approx(-30.0, abs=0.5)


def test_pitch(beat: np.ndarray) -> None:
    """The mean pitch is as stated within 0.05 Hz, and it strays as far, within 10 %."""
    phase = np.unwrap(np.angle(beat))[RATE // 2 :: RATE // 10]
    pitch_hz = np.diff(phase) * 10.0 / (2.0 * np.pi)
    assert pitch_hz.mean() == pytest.approx(500.0, abs=0.05)
    assert pitch_hz.std() == pytest.approx(1.0, rel=0.1)


def test_swell(beat: np.ndarray) -> None:
    """The level strays normally by as many decibels as stated, within 10 %."""
    level_db = 20.0 * np.log10(np.abs(beat[RATE:-RATE:RATE]))
    assert level_db.std() == pytest.approx(3.0, rel=0.1)
    assert np.mean(np.abs(level_db - level_db.mean()) < 3.0) == pytest.approx(0.68, abs=0.06)


def test_a_steady_whistle_keeps_its_phase_for_days() -> None:
    """Without wander it is where its frequency says after a hundred hours, to a table's step."""
    frame = 100 * 3600 * RATE + 12_345
    processor = Whistle(-3.0103, 437.0, 0.0, 0.0, RATE, Chance(2, "whistle"), Conditions())
    heard = in_blocks(processor, np.zeros(RATE, np.float32), frame=frame)
    phase = (np.arange(frame, frame + RATE) * 437 % RATE) / RATE
    np.testing.assert_allclose(heard, np.sin(2.0 * np.pi * phase), atol=5e-4)
