"""The inner rate: chosen by the sound, entered and left without a trace."""

import numpy as np
import pytest

from broadcaster.period.rates import Entrance, Exit, factor_for
from broadcaster.script.sounds import Sound
from broadcaster.units import RATE, Samples
from tests.period.streams import db, in_blocks, noise, response_db


def factor(*rows: dict[str, str], loop: int | None = None) -> int:
    """The factor of a sound with these rows."""
    return factor_for(Sound.model_validate({"about": "One.", "processors": rows}).processors, loop)


def test_the_rate_is_the_lowest_that_holds_the_sound() -> None:
    """16 kHz holds 6.8 kHz, 24 kHz holds 10.2 kHz; a sound without a band is never slowed down."""
    assert factor({"band": "300 Hz to 3 kHz"}) == 3
    assert factor({"band": "300 Hz to 6.8 kHz"}) == 3
    assert factor({"band": "300 Hz to 6.9 kHz"}) == 2
    assert factor({"band": "300 Hz to 10.2 kHz"}) == 2
    assert factor({"band": "300 Hz to 10.3 kHz"}) == 1
    assert factor({"hiss": "-40 dB", "band": "300 Hz to 3 kHz"}) == 1
    assert factor() == 1


def test_every_row_must_be_held() -> None:
    """The widest band and the highest whistle decide."""
    narrow = {"band": "300 Hz to 3 kHz"}
    assert factor(narrow, {"hiss": "-40 dB", "band": "300 Hz to 8 kHz"}) == 2
    assert factor(narrow, {"crackle": "-40 dB", "band": "300 Hz to 12 kHz"}) == 1


@pytest.mark.parametrize(("loop", "expected"), [(96_000, 3), (96_002, 2), (96_001, 1), (1, 1)])
def test_a_loop_has_whole_inner_frames(loop: int, expected: int) -> None:
    """A loop that three does not divide runs at 24 or at 48 kHz."""
    assert factor({"band": "300 Hz to 3 kHz"}, loop=loop) == expected


class ThereAndBack:
    """A stream at a lower rate, and back at once."""

    def __init__(self, factor: int, top_hz: float) -> None:
        self.entrance, self.exit = Entrance(factor, top_hz), Exit(factor, top_hz)

    @property
    def latency(self) -> int:
        """Of both."""
        return self.entrance.latency + self.exit.latency

    def process(self, block: Samples, frame: int) -> Samples:
        """The next frames."""
        return self.exit.process(self.entrance.process(block, frame), frame, len(block))


TOPS = [(3, 3_000.0), (3, 5_000.0), (3, 6_800.0), (2, 6_900.0), (2, 10_200.0)]
"""With few taps and with many."""


@pytest.mark.parametrize(("factor", "top_hz"), TOPS)
def test_what_the_rate_holds_comes_back(factor: int, top_hz: float) -> None:
    """The gain is 0 dB within 0.05 dB up to the top."""
    hertz = [20.0, 1_000.0, *np.linspace(0.3 * top_hz, top_hz, 7).round(-2)]
    np.testing.assert_allclose(response_db(ThereAndBack(factor, top_hz), hertz), 0.0, atol=0.05)


@pytest.mark.parametrize(("factor", "top_hz"), TOPS)
@pytest.mark.parametrize("part", [0.1, 0.3, 0.45, 0.6, 0.8, 0.95])
def test_nothing_folds(factor: int, top_hz: float, part: float) -> None:
    """Of any tone up to 22.8 kHz nothing is heard under the top that is not the tone itself, and
    what stays of it over the top is no louder than it was: 56 dB is what the filters leave.
    """
    tone_hz = round(part * RATE / 200.0) * 100.0
    tone = np.sin(np.arange(2 * RATE) * (2.0 * np.pi * tone_hz / RATE)).astype(np.float32)
    heard = in_blocks(ThereAndBack(factor, top_hz), tone)[RATE:].astype(np.float64)
    lines = 2.0 * np.abs(np.fft.rfft(heard)) / len(heard)
    lines[round(tone_hz)] = 0.0
    assert db(lines[: round(top_hz)].max()) < -56.0
    assert lines.max() < 1.0


@pytest.mark.parametrize(("factor", "top_hz"), TOPS)
def test_any_cutting_gives_the_same_frames(factor: int, top_hz: float) -> None:
    """There and back is block-proof, from any first frame on, even frame by frame."""
    stream = noise(5_000)
    for frame in (0, 1, 2, 12_345_678_901):
        whole = in_blocks(ThereAndBack(factor, top_hz), stream, frame=frame)
        for lengths in ([1] * 5_000, [2, 1, 1, 5, 3, 700, 1, 1_024], [1_024] * 5):
            cut = in_blocks(ThereAndBack(factor, top_hz), stream, lengths, frame=frame)
            np.testing.assert_array_equal(cut, whole)


def test_full_rate_is_left_alone() -> None:
    """A factor of 1 gives back what it was given."""
    stream = noise(5_000)
    there = ThereAndBack(1, 20_000.0)
    np.testing.assert_array_equal(in_blocks(there, stream), stream)
    assert there.latency == 0


@pytest.mark.parametrize(("factor", "top_hz"), TOPS)
def test_a_pulse_is_as_late_as_declared(factor: int, top_hz: float) -> None:
    """A smooth pulse comes out as it was, later by the latencies."""
    there = ThereAndBack(factor, top_hz)
    pulse = np.exp(-0.5 * ((np.arange(9_600) - 4_000.0) / 60.0) ** 2).astype(np.float32)
    heard = in_blocks(there, pulse)
    np.testing.assert_allclose(heard[there.latency :], pulse[: -there.latency], atol=1e-3)
