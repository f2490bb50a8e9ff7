"""Steady tones."""

import numpy as np
import pytest

from broadcaster.sound.level import SINE_PEAK
from broadcaster.sound.tone import steady_tone
from broadcaster.units import RATE


def lines_hz(samples, count):
    """The strongest spectral lines, whole Hz for a whole second, rising."""
    spectrum = np.abs(np.fft.rfft(samples.astype(float) * np.hanning(len(samples))))
    peaks = [
        n
        for n in range(1, len(spectrum) - 1)
        if spectrum[n] > max(spectrum[n - 1], spectrum[n + 1])
    ]
    strongest = sorted(peaks, key=lambda n: spectrum[n])[-count:]
    return sorted(n * RATE / len(samples) for n in strongest)


@pytest.mark.parametrize("frequencies", [(440,), (440, 550), (20, 1000, 15000)])
def test_a_tone_has_its_frequencies(frequencies):
    """The spectrum's strongest lines are the frequencies written."""
    assert lines_hz(steady_tone(frequencies, 1.0), len(frequencies)) == pytest.approx(frequencies)


@pytest.mark.parametrize("count", [1, 2, 5])
def test_tones_together_are_as_strong_as_one(count):
    """The RMS does not depend on how many tones there are."""
    samples = steady_tone([400 + 137 * n for n in range(count)], 2.0)[RATE // 10 : -RATE // 10]
    assert np.sqrt(np.mean(np.square(samples))) == pytest.approx(SINE_PEAK / 2**0.5, rel=0.01)


def test_a_tone_has_its_length_and_soft_edges():
    """Exactly as long as written, and no step at either end greater than inside."""
    samples = steady_tone([650], 0.25)
    inside = np.abs(np.diff(samples[1000:-1000])).max()
    assert len(samples) == RATE // 4
    assert np.abs(np.diff(samples, prepend=0, append=0)).max() <= inside * 1.001
    assert abs(samples[0]) < 1e-4
    assert abs(samples[-1]) < 1e-4


def test_the_shortest_tone_is_one_frame():
    """A tone too short for one frame still is one."""
    assert len(steady_tone([650], 1e-6)) == 1
