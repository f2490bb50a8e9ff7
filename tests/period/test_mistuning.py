"""The analytic signal, and what a receiver off its frequency makes of it."""

import numpy as np
import pytest

from broadcaster.period.analytic import AnalyticSignal
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.mistuning import Mistuning
from broadcaster.units import Samples
from tests.period.streams import db, in_blocks, noise, rms

RATE = 16_000
SLOW_RATE = 2_000
"""For what takes an hour to measure."""


def mistuned(offset_hz: float, drift_hz: float = 0.0, roughness: float = 1.0) -> Mistuning:
    """A receiver off its frequency, under steady conditions."""
    return Mistuning(offset_hz, drift_hz, RATE, Chance(1, "drift"), Conditions(roughness))


def tone(hertz: float, seconds: float, rate: int = RATE) -> Samples:
    """A sine of amplitude 0.5."""
    turns = np.arange(round(seconds * rate)) * (hertz / rate)
    return (0.5 * np.sin(2.0 * np.pi * turns)).astype(np.float32)


def pitch_hz(samples: Samples, near_hz: float, rate: int = RATE) -> np.ndarray:
    """The frequency of a tone within 5 Hz of another, from its phase at every tenth of a second."""
    tenth = rate // 10
    down = samples * np.exp(-2j * np.pi * near_hz / rate * np.arange(len(samples)))
    tenths = down[: len(down) // tenth * tenth].reshape(-1, tenth) @ np.hanning(tenth)
    return near_hz + np.diff(np.unwrap(np.angle(tenths))) * 10.0 / (2.0 * np.pi)


@pytest.mark.parametrize("rate", [16_000, 24_000, 48_000])
def test_quadrature(rate: int) -> None:
    """From 230 Hz to as far under half the rate: gain 1 within 0.02 dB, the image 59 dB down."""
    pulse = np.zeros(rate, np.float32)
    pulse[0] = 1.0
    direct, quadrature = AnalyticSignal(rate).process(pulse)
    spectrum = np.abs(np.fft.fft(direct + 1j * quadrature.astype(np.float64)))
    wanted, image = spectrum[230 : rate // 2 - 230], spectrum[-230 : 230 - rate // 2 : -1]
    assert 20.0 * np.abs(np.log10(wanted / 2.0)).max() < 0.02
    assert db(image.max() / 2.0) < -59.0


@pytest.mark.parametrize("offset_hz", [80.0, -80.0, 0.7, 433.0])
def test_shift(offset_hz: float) -> None:
    """A tone comes out higher or lower by the offset, within 0.1 Hz."""
    heard = in_blocks(mistuned(offset_hz), tone(1000.0, 4.0))[RATE:]
    assert pitch_hz(heard, 1000.0 + offset_hz) == pytest.approx(1000.0 + offset_hz, abs=0.1)


@pytest.mark.parametrize("hertz", [300, 1000, 3000, 6800])
def test_image_is_rejected(hertz: int) -> None:
    """What the other sideband leaves of a tone is 58 dB down: a filter's 60 dB and a table."""
    heard = in_blocks(mistuned(100.0), tone(hertz, 2.0))[RATE:]
    spectrum = np.abs(np.fft.rfft(heard.astype(np.float64)))
    assert np.argmax(spectrum) == hertz + 100
    others = np.delete(spectrum, hertz + 100)
    assert db(others.max() / spectrum[hertz + 100]) < -58.0


def test_power_stays() -> None:
    """Noise comes as strong as it was sent, within 0.2 dB."""
    sent = noise(4 * RATE)
    assert db(rms(in_blocks(mistuned(80.0), sent)) / rms(sent)) == pytest.approx(0.0, abs=0.2)


def test_nothing_is_shifted_at_roughness_0() -> None:
    """The gentlest reception is the programme itself, later by the latency."""
    sent = noise(RATE)
    receiver = mistuned(80.0, roughness=0.0)
    came = in_blocks(receiver, sent)
    np.testing.assert_array_equal(came[receiver.latency :], sent[: -receiver.latency])


def test_offset_follows_the_roughness() -> None:
    """At half the roughness it is off by half, and it gets there without a jump of the phase."""
    conditions = Conditions()
    receiver = Mistuning(80.0, 0.0, RATE, Chance(1, "drift"), conditions)
    conditions.turn(2 * RATE, RATE, roughness=0.5)
    heard = in_blocks(receiver, tone(1000.0, 6.0))
    assert pitch_hz(heard, 1080.0)[5:18] == pytest.approx(1080.0, abs=0.1)
    assert pitch_hz(heard, 1040.0)[33:] == pytest.approx(1040.0, abs=0.1)
    steepest = 2.0 * np.sin(np.pi * 1080.0 / RATE) * 0.5
    assert np.abs(np.diff(heard[RATE:])).max() < 1.01 * steepest


def test_drift() -> None:
    """The pitch strays by the stated deviation, within 10 %, around the stated offset."""
    receiver = Mistuning(50.0, 1.0, SLOW_RATE, Chance(2, "drift"), Conditions())
    heard = in_blocks(receiver, tone(500.0, 3_000.0, SLOW_RATE))[SLOW_RATE:]
    pitches = pitch_hz(heard, 550.0, SLOW_RATE)
    assert pitches.mean() == pytest.approx(550.0, abs=0.05)
    assert pitches.std() == pytest.approx(1.0, rel=0.1)
