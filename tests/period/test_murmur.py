"""The murmur of a neighbouring station: it sounds like speech, at its level, within its band."""

import numpy as np
import pytest

from broadcaster.period import make_murmur
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.murmur import CLIP_RATE, Murmur, clip
from broadcaster.units import RATE as STATION_RATE
from broadcaster.units import Samples
from tests.period.streams import db, in_blocks, noise, rms

RATE = 16_000


def murmur(seconds: int, *, inverted: bool = False, band_hz: tuple[float, float]) -> Samples:
    """A murmur of -40 dB, alone."""
    processor = Murmur(-40.0, band_hz, inverted, RATE, Chance(2, "murmur"), Conditions())
    return in_blocks(processor, np.zeros(seconds * RATE, np.float32))


def middle_hz(samples: Samples) -> float:
    """The frequency under and over which there is half of the power."""
    power = np.cumsum(np.square(np.abs(np.fft.rfft(samples.astype(np.float64)))))
    return float(np.searchsorted(power, power[-1] / 2.0) * RATE / len(samples))


def test_level() -> None:
    """Over minutes its RMS is as stated, within 0.5 dB, whatever the band."""
    for band_hz in ((200.0, 2000.0), (500.0, 3000.0)):
        assert db(rms(murmur(300, band_hz=band_hz))) == pytest.approx(-40.0, abs=0.5)


def test_band() -> None:
    """Hardly a hundredth of its power lies outside its band."""
    bed = murmur(60, band_hz=(300.0, 1500.0)).astype(np.float64)
    power = np.square(np.abs(np.fft.rfft(bed)))
    hertz = np.fft.rfftfreq(len(bed), 1.0 / RATE)
    assert power[(hertz < 240.0) | (hertz > 1900.0)].sum() < 0.01 * power.sum()


def test_it_comes_in_syllables() -> None:
    """Its level moves 2 to 8 times a second, as speech does, far more than that of noise."""

    def syllables(samples: Samples) -> float:
        level = np.sqrt(np.square(samples).reshape(-1, RATE // 50).mean(axis=1))
        swings = np.abs(np.fft.rfft(level / level.mean() - 1.0))
        hertz = np.fft.rfftfreq(len(level), 0.02)
        return float(np.square(swings[(hertz > 2.0) & (hertz < 8.0)]).sum())

    heard = murmur(60, band_hz=(200.0, 2000.0))
    assert syllables(heard) > 20.0 * syllables(noise(60 * RATE))


def test_it_can_be_upside_down() -> None:
    """The wrong sideband turns low into high: half of 4 kHz is the axis."""
    upright, inverted = (murmur(60, inverted=way, band_hz=(100.0, 4000.0)) for way in (False, True))
    assert middle_hz(upright) < 1000.0
    assert middle_hz(inverted) == pytest.approx(4000.0 - middle_hz(upright), abs=400.0)


def test_it_does_not_come_round_again() -> None:
    """No stretch of ten seconds is the one a clip's length later."""
    bed = murmur(60, band_hz=(200.0, 2000.0))
    length = len(clip()) * RATE // CLIP_RATE
    first, again = bed[: 10 * RATE], bed[length : length + 10 * RATE]
    assert abs(np.corrcoef(first, again)[0, 1]) < 0.2


def test_making_the_clip(monkeypatch: pytest.MonkeyPatch) -> None:
    """What the voices say becomes a clip of the shape that ships, its end meeting its beginning."""
    frames = round(24.3 * STATION_RATE)
    monkeypatch.setattr(make_murmur, "spoken", lambda: noise(frames))
    made = make_murmur.made()
    assert made.dtype == clip().dtype
    assert made.shape == clip().shape
    assert np.abs(made).max() == np.abs(clip()).max()


def test_what_the_voices_say_is_no_language() -> None:
    """The sentences are words of invented syllables, by chance."""
    first, second = (make_murmur.nonsense(np.random.default_rng(seed)) for seed in (1, 2))
    assert first != second
    assert 7 <= len(first.split()) <= 11
    assert first.endswith(".")
