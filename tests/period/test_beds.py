"""Hiss, crackle and hum."""

import numpy as np
import pytest
from scipy.signal import welch

from broadcaster.period.beds import Crackle, Hiss, Hum
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.script import sounds
from broadcaster.units import RATE, Samples
from tests.period.streams import db, in_blocks, rms


def quiet(seconds: float) -> Samples:
    """Nothing, for a while."""
    return np.zeros(round(seconds * RATE), np.float32)


def hiss(band_hz: tuple[float, float], slope_db: float = 12.0, tilt_db: float = 0.0) -> Hiss:
    """A hiss of -40 dB under steady conditions."""
    return Hiss(-40.0, band_hz, slope_db, tilt_db, RATE, Chance(1, "hiss"), Conditions())


def test_hiss_has_its_level() -> None:
    """The RMS is as stated, within 0.1 dB, whatever the band."""
    for band_hz in ((200.0, 5000.0), (1000.0, 2000.0), (100.0, 12_000.0)):
        bed = in_blocks(hiss(band_hz), quiet(20))
        assert db(rms(bed)) == pytest.approx(-40.0, abs=0.1)


def test_hiss_has_its_band() -> None:
    """Its spectrum is 3 dB down at both edges, within 0.5 dB, and level between."""
    bed = in_blocks(hiss((500.0, 4000.0), 24.0), quiet(120))
    hertz, power = welch(bed.astype(np.float64), RATE, nperseg=4800)

    def level_db(at_hz: float) -> float:
        return float(10.0 * np.log10(power[np.abs(hertz - at_hz) < 16.0].mean()))

    middle_db = np.mean([level_db(hz) for hz in (1000.0, 1400.0, 1800.0)])
    assert level_db(500.0) - middle_db == pytest.approx(-3.01, abs=0.5)
    assert level_db(4000.0) - middle_db == pytest.approx(-3.01, abs=0.5)
    assert level_db(2400.0) - middle_db == pytest.approx(0.0, abs=0.3)


@pytest.mark.parametrize(
    ("colour", "slope_db"), [("white", 0.0), ("pink", -3.0103), ("brown", -6.0206)]
)
def test_hiss_has_its_colour(colour: str, slope_db: float) -> None:
    """From 100 Hz to 10 kHz it falls as 1, 1 / f and 1 / f^2 within 0.1 dB an octave; same level.

    No octave is more than 0.4 dB off the line.
    """
    row = sounds.Hiss.model_validate({"hiss": "-40 dB", "colour": colour})
    bed = in_blocks(hiss((20.0, 20_000.0), 24.0, row.tilt_db), quiet(120))
    assert db(rms(bed)) == pytest.approx(-40.0, abs=0.2)
    hertz, power = welch(bed.astype(np.float64), RATE, nperseg=8192)
    octaves = np.log2(hertz[1:] / 100.0)
    centres = np.arange(0.25, np.log2(100.0), 0.5)
    level_db = [10.0 * np.log10(power[1:][np.abs(octaves - at) < 0.25].mean()) for at in centres]
    slope, height = np.polyfit(centres, level_db, 1)
    assert slope == pytest.approx(slope_db, abs=0.1)
    np.testing.assert_allclose(level_db, slope * centres + height, atol=0.4)


def test_hiss_is_gaussian() -> None:
    """No excess kurtosis: it hisses and does not crackle."""
    bed = in_blocks(hiss((200.0, 5000.0)), quiet(20))
    scaled = bed.astype(np.float64) / rms(bed)
    assert (scaled**4).mean() == pytest.approx(3.0, abs=0.05)


def test_crackle_comes_as_often_as_stated() -> None:
    """Clicks 20 dB over the rest: as many as the mean interval says, within 10 %."""
    bed = np.abs(
        in_blocks(
            Crackle(-20.0, 0.4, (200.0, 6000.0), RATE, Chance(1, "x"), Conditions()), quiet(400)
        )
    )
    loud = bed.reshape(-1, RATE // 100).max(axis=1) > 0.1 * 10.0 ** (-18.0 / 20.0)
    clicks = np.count_nonzero(loud[1:] & ~loud[:-1])
    assert clicks == pytest.approx(1000, rel=0.1)


def test_crackle_has_its_level() -> None:
    """The middle click peaks at the stated level, within 1 dB; two of three within 6 dB of it."""
    bed = np.abs(
        in_blocks(
            Crackle(-20.0, 2.0, (200.0, 6000.0), RATE, Chance(1, "x"), Conditions()), quiet(1200)
        )
    )
    peaks = bed.reshape(-1, RATE // 10).max(axis=1)
    peaks_db = 20.0 * np.log10(peaks[peaks > 1e-3])
    assert np.median(peaks_db) == pytest.approx(-20.0, abs=1.0)
    assert np.mean(np.abs(peaks_db + 20.0) < 6.0) == pytest.approx(0.68, abs=0.06)


def test_crackle_in_a_loop_rings_over_the_wrap() -> None:
    """What a click at the loop's end leaves unsaid is heard at its beginning."""
    loop = 12_001
    bed = in_blocks(
        Crackle(-20.0, 0.01, (200.0, 6000.0), RATE, Chance(1, "x", loop), Conditions()), quiet(1)
    )
    np.testing.assert_array_equal(bed[loop : 2 * loop], bed[2 * loop : 3 * loop])
    np.testing.assert_array_equal(bed[loop : 2 * loop], bed[:loop])


@pytest.mark.parametrize("mains_hz", [50.0, 60.0])
def test_hum_lines(mains_hz: float) -> None:
    """Lines at once, twice, three times the mains with their levels; the RMS is as stated."""
    bed = in_blocks(Hum(-40.0, mains_hz, (-3.0, -9.0), RATE), quiet(1)).astype(np.float64)
    lines = np.abs(np.fft.rfft(bed))
    first = lines[round(mains_hz)]
    assert db(lines[round(2 * mains_hz)] / first) == pytest.approx(-3.0, abs=0.05)
    assert db(lines[round(3 * mains_hz)] / first) == pytest.approx(-9.0, abs=0.05)
    assert db(rms(bed)) == pytest.approx(-40.0, abs=0.05)
    others = np.delete(lines, [round(line * mains_hz) for line in (1, 2, 3)])
    assert db(others.max() / first) < -60.0


def test_hum_keeps_its_phase_for_days() -> None:
    """After a hundred hours the hum is where its frequency says, to a table's step."""
    frame = 100 * 3600 * RATE + 12_345
    bed = in_blocks(Hum(-3.0103, 60.0, (), RATE), quiet(0.1), frame=frame)
    phase = (np.arange(frame, frame + len(bed)) * 60 % RATE) / RATE
    np.testing.assert_allclose(bed, np.sin(2.0 * np.pi * phase), atol=5e-4)


def test_hum_in_a_loop_holds_whole_cycles() -> None:
    """In a loop the mains gives way so that the wrap is a frame like any other."""
    loop = 70_003
    bed = in_blocks(Hum(-20.0, 50.0, (0.0,), RATE, loop), quiet(3))
    np.testing.assert_array_equal(bed[:loop], bed[loop : 2 * loop])
    steps = np.abs(np.diff(bed[: 2 * loop]))
    assert steps[loop - 1] <= steps[: loop - 1].max()
