"""What is bent or cut off: over-modulation, a carbon microphone, saturation."""

import numpy as np
import pytest

from broadcaster.period.carbon import Carbon
from broadcaster.period.conditions import Conditions
from broadcaster.period.over_modulation import OverModulation
from broadcaster.period.saturation import Saturation
from broadcaster.units import Samples
from tests.period.streams import Stream, db, in_blocks, noise

RATE = 16_000


def tone(hz: float, peak: float = 0.5) -> Samples:
    """A second of a tone."""
    return (peak * np.sin(2 * np.pi * hz * np.arange(RATE) / RATE)).astype(np.float32)


def lines(stream: Stream, programme: Samples) -> np.ndarray:
    """The amplitude at every hertz."""
    return np.abs(np.fft.rfft(in_blocks(stream, programme).astype(float))) / (RATE / 2)


def distortion(stream: Stream) -> float:
    """What the harmonics of a tone of 500 Hz at half of full scale add up to, against it."""
    found = lines(stream, tone(500.0))[500:8000:500]
    return float(np.sqrt(np.square(found[1:]).sum()) / found[0])


@pytest.mark.parametrize(
    "bend",
    [
        lambda conditions: OverModulation(14.0, conditions),
        lambda conditions: Carbon(0.4, conditions),
        lambda conditions: Saturation(8.0, conditions),
    ],
    ids=["over modulation", "carbon", "saturation"],
)
def test_distortion_rises_with_roughness(bend) -> None:
    """The rougher, the more harmonics; at a roughness of 0 there are less than 3 % of them."""
    found = [distortion(bend(Conditions(rough))) for rough in (0.0, 0.5, 1.0, 1.5, 2.0)]
    assert found[0] < 0.03
    assert np.all(np.diff(found) > 0.01)


def test_what_stays_under_the_edge_is_untouched() -> None:
    """Without drive, a programme within full scale comes out a frame later, bit for bit."""
    programme = np.clip(noise(5_000, 0.3), -1.0, 1.0)
    out = in_blocks(OverModulation(0.0, Conditions()), programme)
    np.testing.assert_array_equal(out[1:], programme[:-1])


def test_peaks_are_cut_off() -> None:
    """At 20 dB of drive nothing is over full scale, and four fifths of a tone lie within 0.1 dB."""
    out = np.abs(in_blocks(OverModulation(20.0, Conditions()), tone(100.0)))
    assert out.max() <= 1.0
    assert np.mean(out > 10 ** (-0.1 / 20)) > 0.8


def test_corners_fold_back_less() -> None:
    """Cut off, a tone of 1,245 Hz has 10 dB less of what is no harmonic than by plain cutting."""
    programme, hz = tone(1245.0, 1.0), 1245
    drive = 10 ** (14 / 20)
    plain = np.abs(np.fft.rfft(np.clip(programme * np.float32(drive), -1, 1))) / (RATE / 2)
    rounded = lines(OverModulation(14.0, Conditions()), programme)
    harmonics = np.arange(hz, RATE // 2, hz)
    for spectrum in (plain, rounded):
        spectrum[(harmonics[:, None] + np.arange(-2, 3)).ravel()] = 0.0
        spectrum[:50] = spectrum[4000:] = 0.0
    assert db(np.linalg.norm(rounded) / np.linalg.norm(plain)) < -10.0


@pytest.mark.parametrize(("bend", "peak"), [(0.3, 0.5), (0.6, 0.9)])
def test_harmonics_of_a_carbon_microphone(bend: float, peak: float) -> None:
    """Each harmonic is (1 - sqrt(1 - k^2 a^2)) / (k a) of the one before: the Fourier series of
    x / (1 - k x) for x = a sin, by the generating function of r^n sin(n t)."""
    found = lines(Carbon(bend, Conditions()), tone(500.0, peak))[500:2500:500]
    swing = bend * peak
    expected = (1.0 - np.sqrt(1.0 - swing**2)) / swing
    np.testing.assert_allclose(found[1:] / found[:-1], expected, rtol=0.01)
