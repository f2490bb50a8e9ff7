"""Band limits meet the edges that they state."""

import pytest

from broadcaster.period.bands import BandLimit
from broadcaster.units import RATE
from tests.period.streams import db, in_blocks, noise, response_db, rms


@pytest.mark.parametrize(
    ("low_hz", "high_hz", "slope_db"),
    [
        (300.0, 3400.0, 24.0),
        (350.0, 2700.0, 18.0),
        (80.0, 5000.0, 24.0),
        (100.0, 12_000.0, 12.0),
        (200.0, 4000.0, 6.0),
        (300.0, 3000.0, 48.0),
        (40.0, 15_000.0, 6.0),
    ],
)
def test_edges_are_at_minus_three_decibels(low_hz: float, high_hz: float, slope_db: float) -> None:
    """-3.01 dB within 0.5 dB at both edges, and nothing lost in the middle."""
    middle_hz = (low_hz * high_hz) ** 0.5
    low, middle, high = response_db(
        BandLimit(low_hz, high_hz, slope_db, RATE), (low_hz, middle_hz, high_hz)
    )
    assert low == pytest.approx(-3.01, abs=0.5)
    assert high == pytest.approx(-3.01, abs=0.5)
    assert middle == pytest.approx(0.0, abs=0.1)


@pytest.mark.parametrize("slope_db", [6.0, 12.0, 18.0, 24.0])
def test_slope_is_as_stated(slope_db: float) -> None:
    """Three and four octaves below the lower edge differ by the slope, within 0.5 dB."""
    four, three = response_db(BandLimit(1600.0, 9000.0, slope_db, RATE), (100.0, 200.0))
    assert three - four == pytest.approx(slope_db, abs=0.5)


def test_noise_level_is_foreseen() -> None:
    """White noise of RMS 0.1 leaves with 0.1 times noise_rms, within 0.1 dB."""
    band = BandLimit(300.0, 3400.0, 12.0, RATE)
    through = in_blocks(band, noise(480_000, 0.1))
    assert db(rms(through) / 0.1 / band.noise_rms) == pytest.approx(0.0, abs=0.1)
