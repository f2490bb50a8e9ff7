"""Loudness and true peak against the signals of EBU Tech 3341 and an independent meter.

The signals are written for two channels; one channel alone is 3.01 dB softer (Rec. ITU-R BS.1770,
Annex 1, equation 2), and so it is here.
"""

import numpy as np
import pytest
from pyloudnorm import Meter

from broadcaster.transmitter.loudness import loudness_lufs, true_peak_dbtp
from broadcaster.units import RATE, Samples, frames_from_seconds, gain_from_db
from tests.period.streams import noise

ONE_CHANNEL_LU = 10.0 * np.log10(2.0)


def tone(parts: list[tuple[float, float]], hertz: float = 1000.0) -> Samples:
    """A sine whose peak level in dBFS changes: pairs of level and seconds."""
    level = np.concatenate(
        [np.full(frames_from_seconds(lasts_s), gain_from_db(dbfs)) for dbfs, lasts_s in parts]
    )
    sine = np.sin(2.0 * np.pi * hertz / RATE * np.arange(len(level)))
    return (level * sine).astype(np.float32)


TECH_3341 = {
    1: ([(-23.0, 20.0)], -23.0),
    2: ([(-33.0, 20.0)], -33.0),
    3: ([(-36.0, 10.0), (-23.0, 60.0), (-36.0, 10.0)], -23.0),
    4: ([(-72.0, 10.0), (-36.0, 10.0), (-23.0, 60.0), (-36.0, 10.0), (-72.0, 10.0)], -23.0),
    5: ([(-26.0, 20.0), (-20.0, 20.1), (-26.0, 20.0)], -23.0),
}
"""EBU Tech 3341 (2023), cases 1 to 5: level and seconds of each part, integrated loudness."""


@pytest.mark.parametrize("case", TECH_3341)
def test_integrated_loudness_of_tech_3341(case: int) -> None:
    """Within 0.1 LU of the stated loudness, as EBU Tech 3341 asks for, and of pyloudnorm."""
    parts, expected_lufs = TECH_3341[case]
    signal = tone(parts)
    measured = loudness_lufs(signal)
    assert measured + ONE_CHANNEL_LU == pytest.approx(expected_lufs, abs=0.1)
    other = Meter(RATE, filter_class="DeMan").integrated_loudness(signal.astype(np.float64))
    assert measured == pytest.approx(other, abs=0.1)


def test_full_scale_tone_of_the_standard() -> None:
    """A full-scale sine of 997 Hz in one channel reads -3.01 LKFS (Rec. ITU-R BS.1770, Annex 1)."""
    assert loudness_lufs(tone([(0.0, 5.0)], 997.0)) == pytest.approx(-3.01, abs=0.01)


def test_of_one_mind_with_pyloudnorm_on_a_programme() -> None:
    """Noise that comes and goes in steps: within 0.1 LU of pyloudnorm."""
    steps = np.repeat(np.random.default_rng(2).uniform(0.0, 0.4, 40), RATE // 2)
    programme = noise(len(steps), 1.0) * steps.astype(np.float32)
    other = Meter(RATE, filter_class="DeMan").integrated_loudness(programme.astype(np.float64))
    assert loudness_lufs(programme) == pytest.approx(other, abs=0.1)


def test_what_is_silent_or_too_short_has_no_loudness() -> None:
    """Under the absolute gate of -70 LUFS, and under one block of 400 ms, there is none."""
    assert loudness_lufs(tone([(-80.0, 2.0)])) == float("-inf")
    assert loudness_lufs(tone([(0.0, 0.3)])) == float("-inf")


@pytest.mark.parametrize(
    ("share_of_rate", "phase_deg", "amplitude", "expected_dbtp"),
    [
        (1 / 4, 0.0, 0.5, -6.0),
        (1 / 4, 45.0, 0.5, -6.0),
        (1 / 6, 60.0, 0.5, -6.0),
        (1 / 8, 67.5, 0.5, -6.0),
        (1 / 4, 45.0, 1.41, 3.0),
    ],
)
def test_true_peak_of_tech_3341(
    share_of_rate: float, phase_deg: float, amplitude: float, expected_dbtp: float
) -> None:
    """EBU Tech 3341, cases 15 to 19: +0.2 dB and -0.4 dB, though no sample lies at the peak."""
    phase = 2.0 * np.pi * share_of_rate * np.arange(RATE) + np.radians(phase_deg)
    swell = np.minimum(1.0, np.minimum(np.arange(RATE), np.arange(RATE)[::-1]) / 2400.0)
    measured = true_peak_dbtp((amplitude * swell * np.sin(phase)).astype(np.float32))
    assert expected_dbtp - 0.4 <= measured <= expected_dbtp + 0.2
