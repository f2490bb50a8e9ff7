"""What a transmitter with pre-emphasis deviates stays under its ceiling, and nothing pumps."""

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.signal import resample_poly, sosfilt

from broadcaster.period.emphasis import AMERICA_S, EUROPE_S, PreEmphasis
from broadcaster.transmitter.limiter import DeviationLimiter
from broadcaster.transmitter.transmitter import Transmitter
from broadcaster.units import RATE, Samples, gain_from_db
from tests.period.streams import cuts, db, in_blocks, noise, rms


def hertz_tone(hertz: float, peak: float, frames: int) -> Samples:
    """A sine that swells and ends softly, so that its ends have no peaks of their own."""
    swell = np.minimum(1.0, np.minimum(np.arange(frames), np.arange(frames)[::-1]) / 2400.0)
    return (peak * swell * np.sin(2.0 * np.pi * hertz / RATE * np.arange(frames))).astype(
        np.float32
    )


def analogue_pre_emphasis(samples: Samples, time_constant_s: float) -> np.ndarray:
    """What deviates: the curve of Rec. ITU-R BS.450 itself, 1 + j w t, on the whole spectrum.

    Four points a frame. It knows nothing of the filter that the limiter uses.
    """
    spectrum = np.fft.rfft(samples.astype(np.float64))
    hertz = np.fft.rfftfreq(len(samples), 1.0 / RATE)
    lifted = np.fft.irfft(spectrum * (1.0 + 2j * np.pi * hertz * time_constant_s), len(samples))
    return resample_poly(lifted, 4, 1)


@pytest.mark.parametrize("time_constant_s", [EUROPE_S, AMERICA_S])
@pytest.mark.parametrize("hertz", [400.0, 3_000.0, 6_300.0, 10_037.0, 14_000.0])
def test_a_loud_tone_deviates_to_the_ceiling(hertz: float, time_constant_s: float) -> None:
    """A tone at full scale, lifted by the curve of BS.450, peaks at -1 dB: 0.2 dB over at most."""
    out = in_blocks(Transmitter(time_constant_s=time_constant_s), hertz_tone(hertz, 1.0, RATE))
    peak = db(np.abs(analogue_pre_emphasis(out, time_constant_s)).max())
    assert -1.5 < peak < -0.8


@settings(max_examples=25, deadline=None)
@given(
    seed=st.integers(0, 2**32 - 1),
    level=st.floats(0.05, 3.0),
    click=st.floats(-50.0, 50.0),
    half_period=st.integers(1, 400),
    time_constant_s=st.sampled_from((EUROPE_S, AMERICA_S)),
)
def test_deviation_and_output_hold(
    seed: int, level: float, click: float, half_period: int, time_constant_s: float
) -> None:
    """Noise, squares and clicks: neither a sample nor a deviated sample passes -1 dB."""
    square = np.where(np.arange(3_000) // half_period % 2, level, -level).astype(np.float32)
    programme = np.concatenate([noise(4_000, level, seed), square, np.zeros(900, np.float32)])
    programme[2_000] = click
    out = in_blocks(Transmitter(time_constant_s=time_constant_s), programme)
    assert np.abs(out).max() <= gain_from_db(-1.0)
    assert np.abs(PreEmphasis(time_constant_s).process(out.copy(), 0)).max() <= gain_from_db(-1.0)


def test_a_sibilant_does_not_turn_down_the_low_sounds() -> None:
    """While a burst at 8 kHz is held back by 4 dB and more, a hum at 100 Hz keeps its level.

    Within 0.1 dB; a gain on the whole would pump it.
    """
    frames = 2 * RATE
    hum = hertz_tone(100.0, 0.1, frames)
    sibilant = np.zeros(frames, np.float32)
    sibilant[RATE // 2 : RATE] = hertz_tone(8_000.0, 0.6, RATE // 2)
    out = in_blocks(DeviationLimiter(-1.0, EUROPE_S), hum + sibilant)[DeviationLimiter.latency :]
    window = slice(RATE // 2 + 4_800, RATE - 4_800)  # whole cycles of both
    lines = np.abs(np.fft.rfft(out[window].astype(np.float64)))
    before = np.abs(np.fft.rfft((hum + sibilant)[window].astype(np.float64)))
    cycles = (window.stop - window.start) / RATE
    assert db(lines[round(8_000 * cycles)] / before[round(8_000 * cycles)]) < -4.0
    assert db(lines[round(100 * cycles)] / before[round(100 * cycles)]) == pytest.approx(0, abs=0.1)


def test_what_does_not_deviate_too_far_passes_untouched() -> None:
    """Sound whose lifted peaks stay well under the ceiling comes out bit for bit."""
    lowpassed = sosfilt([[0.05, 0.1, 0.05, 1.0, -1.3, 0.5]], noise(30_000, 0.2)).astype(np.float32)
    out = in_blocks(DeviationLimiter(-1.0, EUROPE_S), lowpassed.copy())
    latency = DeviationLimiter.latency
    np.testing.assert_array_equal(out[latency:], lowpassed[:-latency])
    assert rms(lowpassed) > 0.05


@settings(max_examples=20, deadline=None)
@given(lengths=cuts)
def test_any_cutting_gives_the_same_samples(lengths: list[int]) -> None:
    """Blocks of 1 to 65,536 frames: the same bits while both limiters work."""
    programme = noise(20_000, 0.5) * np.linspace(0.0, 4.0, 20_000, dtype=np.float32) ** 2
    whole = in_blocks(Transmitter(make_up_db=3.0), programme.copy())
    np.testing.assert_array_equal(
        in_blocks(Transmitter(make_up_db=3.0), programme.copy(), lengths), whole
    )
