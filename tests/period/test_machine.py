"""What makes a voice that of a machine."""

import numpy as np
import pytest

from broadcaster.period.conditions import Conditions
from broadcaster.period.machine import Comb, Ring
from tests.period.streams import in_blocks

RATE = 16_000


def lines(mix: float, roughness: float = 1.0) -> np.ndarray:
    """The amplitude at every hertz of a tone of 1 kHz, multiplied by one of 50 Hz."""
    tone = np.sin(2 * np.pi * 1000 * np.arange(RATE) / RATE).astype(np.float32)
    ring = Ring(50.0, mix, RATE, None, Conditions(roughness))
    return np.abs(np.fft.rfft(in_blocks(ring, tone).astype(float))) / (RATE / 2)


def test_a_multiplied_tone_becomes_two() -> None:
    """1 kHz becomes 950 and 1,050 Hz, each 3.01 dB softer; of itself 60 dB less are left."""
    found = lines(1.0)
    assert found[[950, 1050]] == pytest.approx([2**-0.5, 2**-0.5], rel=0.001)
    assert found[1000] < 0.001
    others = np.delete(found, [950, 1050])
    assert others.max() < 0.001


def test_what_is_not_multiplied_passes() -> None:
    """With a mix of 40 % the tone is 60 % as strong; with roughness 2, 20 %."""
    assert lines(0.4)[1000] == pytest.approx(0.6, rel=0.001)
    assert lines(0.4, 2.0)[1000] == pytest.approx(0.2, rel=0.001)


def test_echoes_of_a_comb() -> None:
    """A pulse is followed by three more, 7 ms apart, each 6 dB softer; their power adds up to 1."""
    pulse = np.zeros(1000, np.float32)
    pulse[0] = 1.0
    heard = in_blocks(Comb(0.007, 6.0206, RATE), pulse)
    assert np.flatnonzero(heard).tolist() == [0, 112, 224, 336]
    np.testing.assert_allclose(heard[[112, 224, 336]] / heard[[0, 112, 224]], 0.5, rtol=1e-4)
    assert np.square(heard).sum() == pytest.approx(1.0, rel=1e-6)
