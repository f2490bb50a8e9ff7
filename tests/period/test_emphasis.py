"""Pre-emphasis and de-emphasis are those of the published curves."""

import numpy as np
import pytest

from broadcaster.period.emphasis import AMERICA_S, EUROPE_S, DeEmphasis, PreEmphasis
from broadcaster.units import RATE, Samples
from tests.period.streams import in_blocks, noise

# Gain in dB at Hz: 10 log10(1 + (2 pi f t)^2), Rec. ITU-R BS.450, worked out beforehand.
PUBLISHED = {
    EUROPE_S: {
        100: 0.0043,
        1000: 0.4088,
        3000: 2.7606,
        5000: 5.4000,
        7500: 8.1635,
        10_000: 10.3621,
        12_000: 11.8219,
        15_000: 13.6561,
    },
    AMERICA_S: {
        100: 0.0096,
        1000: 0.8709,
        3000: 4.7692,
        5000: 8.1635,
        7500: 11.3005,
        10_000: 13.6561,
        12_000: 15.1822,
        15_000: 17.0727,
    },
}


def gains_db(stream: PreEmphasis | DeEmphasis, rate: int) -> np.ndarray:
    """The gain at every hertz, from the answer to a pulse of one second."""
    pulse = np.zeros(rate, np.float32)
    pulse[0] = 0.5
    return 20.0 * np.log10(np.abs(np.fft.rfft(in_blocks(stream, pulse).astype(float))) / 0.5)


@pytest.mark.parametrize("time_constant_s", PUBLISHED)
def test_published_curve(time_constant_s: float) -> None:
    """Within 0.1 dB of the table at every frequency of it, up and down."""
    table = PUBLISHED[time_constant_s]
    up = gains_db(PreEmphasis(time_constant_s), RATE)[list(table)]
    down = gains_db(DeEmphasis(time_constant_s), RATE)[list(table)]
    np.testing.assert_allclose(up, list(table.values()), atol=0.1)
    np.testing.assert_allclose(-down, list(table.values()), atol=0.1)


@pytest.mark.parametrize("time_constant_s", PUBLISHED)
@pytest.mark.parametrize("rate", [16_000, 24_000, RATE, 4 * RATE])
def test_every_rate_has_the_same_curve(time_constant_s: float, rate: int) -> None:
    """Within 0.1 dB of 10 log10(1 + (2 pi f t)^2), to 15 kHz or 0.4 times the rate."""
    hz = np.arange(20, min(15_000, rate * 2 // 5))
    analogue = 10.0 * np.log10(1.0 + (2.0 * np.pi * hz * time_constant_s) ** 2)
    np.testing.assert_allclose(
        gains_db(PreEmphasis(time_constant_s, rate), rate)[hz], analogue, atol=0.1
    )


@pytest.mark.parametrize("time_constant_s", PUBLISHED)
def test_one_undoes_the_other(time_constant_s: float) -> None:
    """Behind both stands what went in: the difference is 90 dB down, 0.0003 dB."""
    programme = noise(RATE, 0.1)
    back = in_blocks(
        DeEmphasis(time_constant_s), in_blocks(PreEmphasis(time_constant_s), programme)
    )
    assert np.abs(back - programme).max() < 10 ** (-90 / 20) * np.abs(programme).max()


@pytest.mark.parametrize(("time_constant_s", "peak"), [(EUROPE_S, 4.82), (AMERICA_S, 7.14)])
def test_a_full_tone_at_the_top(time_constant_s: float, peak: float) -> None:
    """A tone of 15 kHz at full scale comes out 4.82 or 7.14 times as high."""
    tone: Samples = np.sin(2 * np.pi * 15_000 * np.arange(RATE) / RATE + 0.3).astype(np.float32)
    risen = in_blocks(PreEmphasis(time_constant_s), tone)[RATE // 10 :]
    assert np.sqrt(2.0 * np.square(risen.astype(float)).mean()) == pytest.approx(peak, rel=0.01)
