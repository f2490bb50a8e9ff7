"""The time signal, against public descriptions of the Greenwich Time Signal."""

import numpy as np
import pytest

from broadcaster.sound.pips import time_signal
from broadcaster.units import RATE


def sounding(samples):
    """First and last frame of each stretch with sound; a gap is 10 ms of silence."""
    frames = np.flatnonzero(samples)
    breaks = np.flatnonzero(np.diff(frames) > RATE // 100)
    firsts = frames[np.concatenate(([0], breaks + 1))]
    lasts = frames[np.concatenate((breaks, [len(frames) - 1]))]
    return list(zip(firsts, lasts, strict=True))


@pytest.mark.parametrize("pips", [1, 2, 6, 12])
def test_pips_start_on_their_seconds(pips):
    """Onsets 1 s apart to the frame; the last starts exactly pips - 1 seconds in."""
    starts = [first for first, _ in sounding(time_signal(pips))]
    # A sine's first frame is 0.0, so sound is first found one frame after the onset.
    assert starts == [second * RATE + 1 for second in range(pips)]


def test_pips_are_short_and_the_last_is_long():
    """Five of 4,800 frames and one of 24,000: 0.1 s and 0.5 s."""
    lengths = [last - first + 2 for first, last in sounding(time_signal(6))]
    assert lengths == [4800] * 5 + [24000]


def test_pips_are_whole_cycles_of_1_khz():
    """Exactly 100 and 500 cycles, from zero to zero."""
    samples = time_signal(6)
    for start, frames, cycles in ((0, 4800, 100), (5 * RATE, 24000, 500)):
        pip = samples[start : start + frames].astype(float)
        rising = (pip[:-1] <= 0) & (pip[1:] > 0)
        assert rising.sum() == cycles
        assert np.argmax(np.abs(np.fft.rfft(pip))) * RATE / frames == 1000
        assert pip.sum() == pytest.approx(0, abs=1e-3)


def test_the_signal_is_whole_seconds_long():
    """Silence fills the last pip's second, so that two signals in a row keep the second."""
    assert len(time_signal(3)) == 3 * RATE
