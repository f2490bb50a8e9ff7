"""The inner rate: chosen by the sound, entered and left without a trace."""

import numpy as np
import pytest

from broadcaster.period.rates import Entrance, Exit, factor_for
from broadcaster.script.sounds import Sound
from broadcaster.units import RATE, Samples
from tests.period.streams import db, in_blocks, noise, response_db, rms


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

    def __init__(self, factor: int) -> None:
        self.entrance, self.exit = Entrance(factor), Exit(factor)

    def process(self, block: Samples, frame: int) -> Samples:
        """The next frames."""
        return self.exit.process(self.entrance.process(block, frame), frame, len(block))


@pytest.mark.parametrize(("factor", "top_hz"), [(3, 6_800.0), (2, 10_200.0)])
def test_what_the_rate_holds_comes_back(factor: int, top_hz: float) -> None:
    """The gain is 0 dB within 0.2 dB up to the top."""
    hertz = [100.0, 1_000.0, 2_500.0, 4_000.0, 6_000.0, top_hz]
    np.testing.assert_allclose(response_db(ThereAndBack(factor), hertz), 0.0, atol=0.21)


@pytest.mark.parametrize("factor", [3, 2])
@pytest.mark.parametrize("part", [0.1, 0.3, 0.6, 0.8, 0.9])
def test_nothing_folds(factor: int, part: float) -> None:
    """A tone comes back alone, or is gone: whatever else is heard is 60 dB under it."""
    rate = RATE / factor
    tone_hz = round(part * rate / 100.0) * 100.0
    tone = np.sin(np.arange(2 * RATE) * (2.0 * np.pi * tone_hz / RATE)).astype(np.float32)
    heard = in_blocks(ThereAndBack(factor), tone)[RATE:].astype(np.float64)
    lines = 2.0 * np.abs(np.fft.rfft(heard)) / len(heard)
    others = np.delete(lines, round(tone_hz))
    assert db(others.max()) < -60.0
    assert db(lines[round(tone_hz)]) < -60.0 or part < 0.5


def test_full_rate_is_left_alone() -> None:
    """A factor of 1 gives back what it was given."""
    stream = noise(5_000)
    there = ThereAndBack(1)
    np.testing.assert_array_equal(in_blocks(there, stream), stream)
    assert there.entrance.latency == there.exit.latency == 0


@pytest.mark.parametrize("factor", [3, 2])
def test_a_pulse_is_as_late_as_declared(factor: int) -> None:
    """The centre of a smooth pulse moves by the latencies, within a frame."""
    there = ThereAndBack(factor)
    pulse = np.exp(-0.5 * ((np.arange(9_600) - 4_000.0) / 60.0) ** 2).astype(np.float32)
    heard = np.square(in_blocks(there, pulse).astype(np.float64))
    centre = (heard * np.arange(9_600)).sum() / heard.sum()
    assert centre - 4_000.0 == pytest.approx(there.entrance.latency + there.exit.latency, abs=1.5)
    assert rms(heard.astype(np.float32)) > 0.0
