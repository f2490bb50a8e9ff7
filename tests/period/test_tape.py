"""A tape that does not run evenly, and one that is worn."""

import numpy as np
import pytest
from scipy.signal import hilbert

from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.dropouts import Dropouts
from broadcaster.period.flutter import Flutter
from broadcaster.units import Samples
from tests.period.streams import db, in_blocks

RATE = 16_000
MEASURED_HZ = 3150
"""The frequency at which IEC 60386 measures."""


def tone(seconds: int, hz: int = MEASURED_HZ) -> Samples:
    """A tone at half of full scale."""
    return (0.5 * np.sin(2 * np.pi * hz * np.arange(seconds * RATE) / RATE)).astype(np.float32)


def deviation(roughness: float = 1.0, wow: float = 0.01, flutter: float = 0.003) -> np.ndarray:
    """Ten seconds of the speed's deviation, from the instantaneous frequency of a tone.

    100 values a second.
    """
    tape = Flutter((flutter, 9.0), (wow, 0.6), RATE, None, Conditions(roughness))
    phase = np.unwrap(np.angle(hilbert(in_blocks(tape, tone(12)).astype(float))))[RATE::160]
    return np.diff(phase[:1001]) * 100 / (2 * np.pi * MEASURED_HZ) - 1.0


def swing(of: np.ndarray, hz: float) -> float:
    """The amplitude of a line of ten seconds at 100 values a second."""
    return float(np.abs(np.fft.rfft(of))[round(10 * hz)] / (len(of) / 2))


def test_wow_and_flutter_are_as_stated() -> None:
    """The speed swings by 1 % at 0.6 Hz and 0.3 % at 9 Hz, within 3 % of each; the mean stays."""
    found = deviation()
    averaging = np.sinc(9.0 / 100)  # over the 10 ms of a value
    assert swing(found, 0.6) == pytest.approx(0.01, rel=0.03)
    assert swing(found, 9.0) / averaging == pytest.approx(0.003, rel=0.03)
    assert abs(found.mean()) < 1e-5
    assert np.abs(found).max() == pytest.approx(0.013, rel=0.05)


def test_flutter_follows_roughness() -> None:
    """At a roughness of 2 it swings twice as far, at 0.5 half as far."""
    assert swing(deviation(2.0), 0.6) == pytest.approx(0.02, rel=0.03)
    assert swing(deviation(0.5), 0.6) == pytest.approx(0.005, rel=0.03)


def test_an_even_tape_is_a_delay() -> None:
    """At a roughness of 0 a tone comes out as it went in, `latency` frames later."""
    tape = Flutter((0.003, 9.0), (0.01, 0.6), RATE, None, Conditions(0.0))
    programme = tone(1)
    late = in_blocks(tape, programme)[tape.latency :]
    np.testing.assert_allclose(late, programme[: len(late)], atol=1e-6)


def test_treble_stays_as_loud() -> None:
    """A tone at a third of the rate swings in level by less than 0.5 dB, and loses less than it."""
    tape = Flutter((0.003, 9.0), (0.01, 0.6), RATE, None, Conditions())
    loudness = np.abs(hilbert(in_blocks(tape, tone(4, 5300))))[RATE : 3 * RATE] / 0.5
    assert -0.5 < db(loudness.min()) <= db(loudness.max()) < 0.5


@pytest.fixture(scope="module")
def dips() -> list[np.ndarray]:
    """Every dropout of an hour of a worn tape that holds a steady level, a value a millisecond."""
    tape = Dropouts(18.0, 5.0, 0.04, 1000, Chance(3, "dropouts"), Conditions())
    level = in_blocks(tape, np.ones(3600 * 1000, np.float32))
    edges = np.flatnonzero(np.diff((level < 1.0).astype(int))) + 1
    return np.split(level, edges)[1::2]


def test_dropouts_come_as_often_as_stated(dips: list[np.ndarray]) -> None:
    """One every five seconds: of 720 in an hour 709 are apart, with a deviation of 27 (Poisson)."""
    assert len(dips) == pytest.approx(709, abs=54)


def test_dropouts_are_as_deep_as_stated(dips: list[np.ndarray]) -> None:
    """The middle one takes what 18 dB are, 87.4 %, within 3 %."""
    assert 1.0 - np.median([dip.min() for dip in dips]) == pytest.approx(0.874, abs=0.03)


def test_dropouts_are_as_long_as_stated(dips: list[np.ndarray]) -> None:
    """The middle one takes more than half of what it takes at most for 40 ms."""
    lengths = [np.count_nonzero(1.0 - dip > (1.0 - dip.min()) / 2.0) for dip in dips]
    assert np.median(lengths) == pytest.approx(40, abs=1)


def test_dropouts_follow_roughness() -> None:
    """The rougher, the deeper; what lies between stays as it was."""
    deepest = []
    for roughness in (0.0, 0.5, 1.0, 2.0):
        tape = Dropouts(6.0, 0.5, 0.04, RATE, Chance(3, "dropouts"), Conditions(roughness))
        heard = in_blocks(tape, np.ones(20 * RATE, np.float32))
        assert heard.max() == 1.0
        deepest.append(heard.min())
    assert deepest[0] == 1.0
    assert np.all(np.diff(deepest) < 0.0)
