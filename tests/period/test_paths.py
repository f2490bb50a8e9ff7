"""Two paths through the ionosphere: what they are called, and what they do to a probe."""

from collections.abc import Sequence
from functools import cache

import numpy as np
import pytest
from numpy.typing import NDArray
from scipy.signal import hilbert
from scipy.stats import kstest, rayleigh, rice

from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.paths import Paths
from broadcaster.script.sounds_ether import NAMED_PATHS
from broadcaster.units import Samples
from tests.period.streams import db, in_blocks, noise, rms

PUBLISHED = {
    # Rec. ITU-R F.1487 (2000), Annex 3: differential delay in ms, frequency spread in Hz
    "low-latitude quiet": (0.5, 0.5),
    "low-latitude moderate": (2.0, 1.5),
    "low-latitude disturbed": (6.0, 10.0),
    "mid-latitude quiet": (0.5, 0.1),
    "mid-latitude moderate": (1.0, 0.5),
    "mid-latitude disturbed": (2.0, 1.0),
    "mid-latitude disturbed near-vertical": (7.0, 1.0),
    "high-latitude quiet": (1.0, 0.5),
    "high-latitude moderate": (3.0, 10.0),
    "high-latitude disturbed": (7.0, 30.0),
    # Rec. ITU-R F.520-2 (1992)
    "good": (0.5, 0.1),
    "moderate": (1.0, 0.5),
    "poor": (2.0, 1.0),
    "flutter fading": (0.5, 10.0),
}
DISTINCT = sorted(set(PUBLISHED.values()))

RATE = 4_000
"""Every published delay is a whole number of frames, and the probes are soon through."""
SET_RATE = 16_000
FADES = 400


def paths(
    delay_ms: float,
    spread_hz: float,
    depth: float = 1.0,
    *,
    roughness: float = 1.0,
    seed: int = 4,
    rate: int = RATE,
) -> Paths:
    """Paths of their own, under steady conditions."""
    way = delay_ms / 1000.0, spread_hz, depth
    return Paths(*way, rate, Chance(seed, "paths"), Conditions(roughness))


def tone_at_a_quarter(frames: int) -> Samples:
    """A tone of RATE / 4 and of amplitude 1."""
    return np.resize(np.array([1.0, 0.0, -1.0, 0.0], np.float32), frames)


def down_from_a_quarter(tone: Samples, every: int) -> NDArray[np.complex128]:
    """The complex envelope of what was a tone of RATE / 4, a mean over every so many frames."""
    quarters = tone[: len(tone) // every * every].reshape(-1, every // 4, 4).astype(np.float64)
    real, imaginary = quarters[..., 0] - quarters[..., 2], quarters[..., 3] - quarters[..., 1]
    return (real.mean(axis=1) + 1j * imaginary.mean(axis=1)) / 2.0


@cache
def faded_tone(delay_ms: float, spread_hz: float) -> NDArray[np.complex128]:
    """The complex envelope of a tone over FADES fades, about 20 values for each of them."""
    every = 4 * max(1, round(RATE / spread_hz / 20 / 4))
    tone = tone_at_a_quarter(round(FADES / spread_hz * RATE))
    return down_from_a_quarter(in_blocks(paths(delay_ms, spread_hz), tone), every)


def test_names_stand_for_the_published_conditions() -> None:
    """Every row of the two Recommendations can be asked for by its name, and no other."""
    named = {name: (way.delay_s * 1000.0, way.spread_hz) for name, way in NAMED_PATHS.items()}
    assert named == PUBLISHED


@pytest.mark.parametrize(("delay_ms", "spread_hz"), DISTINCT)
def test_doppler_spread(delay_ms: float, spread_hz: float) -> None:
    """A tone is spread as stated, within 10 %: twice the deviation of its spectrum."""
    envelope = faded_tone(delay_ms, spread_hz)
    per_second = FADES / spread_hz / len(envelope)
    power = np.square(np.abs(np.fft.fft(envelope * np.hanning(len(envelope)))))
    hertz = np.fft.fftfreq(len(envelope), per_second)
    middle_hz = (hertz * power).sum() / power.sum()
    deviation_hz = np.sqrt((np.square(hertz - middle_hz) * power).sum() / power.sum())
    assert 2.0 * deviation_hz == pytest.approx(spread_hz, rel=0.1)


@pytest.mark.parametrize(("delay_ms", "spread_hz"), DISTINCT)
def test_envelope_is_rayleigh(delay_ms: float, spread_hz: float) -> None:
    """The envelope of a tone has Rayleigh's distribution, mean power 1 (Kolmogorov-Smirnov).

    Values that lie 1 / spread apart are independent within 1 %: exp(-2 (pi / 2)^2).
    """
    envelope = np.abs(faded_tone(delay_ms, spread_hz))
    independent = envelope[:: len(envelope) // FADES]
    assert len(independent) >= FADES
    assert kstest(independent, rayleigh(scale=np.sqrt(0.5)).cdf).pvalue > 0.01


def power_by_lag(
    delay_ms: float, spread_hz: float, lags: Sequence[int], trials: int
) -> NDArray[np.float64]:
    """How much of noise comes so many frames later than the latency, at 16 kHz.

    A mean over trials, each with its own chance, and over stretches of them in which the paths
    hardly change: what came is compared with what was sent so many frames before.
    """
    length = max(16, min(256, round(SET_RATE / spread_hz / 8)))
    power = np.zeros((trials, len(lags)))
    for trial in range(trials):
        processor = paths(delay_ms, spread_hz, seed=trial, rate=SET_RATE)
        sent = noise(4096, 0.3, seed=trial)
        came, analytic = hilbert(in_blocks(processor, sent)), hilbert(sent)
        stretches = np.arange(512, 4096 - length, length)[:, None] + np.arange(length)
        for place, lag in enumerate(lags):
            alike = came[stretches] * analytic[stretches - processor.latency - lag].conj()
            power[trial, place] = np.square(np.abs(alike.sum(axis=1))).mean()
    return power.mean(axis=0)


@pytest.mark.parametrize(("delay_ms", "spread_hz"), DISTINCT)
def test_differential_delay(delay_ms: float, spread_hz: float) -> None:
    """Noise comes by two ways, as far apart as stated, within 10 %."""
    power = power_by_lag(delay_ms, spread_hz, range(160), 25)
    first, second = np.sort(np.argsort(power)[-2:])
    assert first == 0
    assert second / SET_RATE * 1000.0 == pytest.approx(delay_ms, rel=0.1)


def test_both_ways_carry_half_of_the_power() -> None:
    """Over many fades neither way is stronger, within 0.4 dB."""
    first, second = power_by_lag(7.0, 30.0, (0, 112), 250)
    assert db(first / second) / 2.0 == pytest.approx(0.0, abs=0.4)


def test_mean_power_stays() -> None:
    """Over many fades noise comes as strong as it was sent, within 0.3 dB."""
    sent = noise(200 * RATE, 0.1)
    assert db(rms(in_blocks(paths(2.0, 10.0), sent)) / rms(sent)) == pytest.approx(0.0, abs=0.3)


def test_nothing_fades_at_roughness_0() -> None:
    """The gentlest reception is the programme itself, later by the latency."""
    sent = noise(RATE, 0.3)
    processor = paths(2.0, 10.0, roughness=0.0)
    came = in_blocks(processor, sent)
    np.testing.assert_array_equal(came[processor.latency :], sent[: -processor.latency])


@pytest.mark.parametrize(("depth", "roughness"), [(0.6, 1.0), (1.0, 0.6)])
def test_a_share_that_fades(depth: float, roughness: float) -> None:
    """Where 0.6 of the amplitude fades the envelope has Rice's distribution, mean power 1."""
    tone = tone_at_a_quarter(FADES * RATE // 10)
    came = down_from_a_quarter(in_blocks(paths(1.0, 10.0, depth, roughness=roughness), tone), 4)
    independent = np.abs(came[1 :: RATE // 10 // 4])
    deviation = 0.6 / np.sqrt(2.0)
    law = rice(np.sqrt(1.0 - 0.6**2) / deviation, scale=deviation)
    assert kstest(independent, law.cdf).pvalue > 0.01


def test_no_more_than_all_can_fade() -> None:
    """Rougher than written is not deeper than Rayleigh's fading."""
    sent = noise(RATE, 0.3)
    as_written, roughest = (in_blocks(paths(1.0, 10.0, roughness=at), sent) for at in (1.0, 2.0))
    np.testing.assert_array_equal(as_written, roughest)
