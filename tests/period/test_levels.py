"""What follows the level of the programme: automatic gain, companding noise, key clicks."""

import numpy as np
import pytest

from broadcaster.period.automatic_gain import AutomaticGain
from broadcaster.period.chance import Chance
from broadcaster.period.companding import Companding
from broadcaster.period.conditions import Conditions
from broadcaster.period.key_clicks import KeyClicks
from broadcaster.units import Samples, gain_from_db
from tests.period.streams import db, in_blocks, rms

RATE = 16_000


def tone(seconds: float, level_dbfs: float = 0.0, hz: float = 1000.0) -> Samples:
    """A tone, its peak at a level."""
    frames = np.arange(round(seconds * RATE))
    return (gain_from_db(level_dbfs) * np.sin(2 * np.pi * hz * frames / RATE)).astype(np.float32)


@pytest.mark.parametrize("level_dbfs", [-60.0, -45.0, -30.0, -20.0, -10.0, 0.0])
def test_static_curve_of_the_automatic_gain(level_dbfs: float) -> None:
    """A tone leaves at the level held, or 20 dB louder if that is less, within 0.2 dB."""
    out = in_blocks(AutomaticGain(20.0, -10.0, 0.05, 0.5, RATE), tone(3.0, level_dbfs))
    settled = db(np.abs(out[-RATE // 2 :]).max())
    assert settled == pytest.approx(min(-10.0, level_dbfs + 20.0), abs=0.2)


@pytest.mark.parametrize(("attack_s", "recovery_s"), [(0.1, 0.5), (0.5, 2.0)])
def test_times_of_the_automatic_gain(attack_s: float, recovery_s: float) -> None:
    """A rise or fall of 20 dB is followed, but for 1 dB, in the time that is stated, less 5 % of
    it; the gain is two cells of 8 ms late."""
    programme = np.concatenate([tone(4.0, -30.0), tone(3.0, -10.0), tone(4.0, -30.0)])
    out = in_blocks(AutomaticGain(30.0, -10.0, attack_s, recovery_s, RATE), programme)
    gain_db = 20.0 * np.log10(
        np.abs(out).reshape(-1, 16).max(axis=1) / np.abs(programme).reshape(-1, 16).max(axis=1)
    )
    rise, fall = 4000, 7000  # milliseconds, one value each
    followed_s = np.flatnonzero(gain_db[rise:] < 1.0)[0] / 1000
    recovered_s = np.flatnonzero(gain_db[fall:] > 19.0)[0] / 1000
    assert followed_s == pytest.approx(0.95 * attack_s + 0.012, abs=0.012)
    assert recovered_s == pytest.approx(0.95 * recovery_s + 0.012, abs=0.03)


def companded(programme: Samples, level_db: float, roughness: float = 1.0) -> Samples:
    """What companding adds; the programme itself is a tone, and taken out by its own spectrum."""
    conditions = Conditions(roughness)
    noisy = Companding(
        level_db, (200.0, 5000.0), 0.005, 0.2, RATE, Chance(1, "companding"), conditions
    )
    return in_blocks(noisy, programme)


@pytest.mark.parametrize("level_dbfs", [-40.0, -20.0, -6.0])
def test_companding_noise_stands_to_the_programme(level_dbfs: float) -> None:
    """Noise at -20 dB is 30 dB under the peak, as speech is 10 dB, whatever the level of a tone."""
    programme = tone(4.0, level_dbfs)
    added = (companded(programme, -20.0) - programme)[RATE:]
    assert db(rms(added)) == pytest.approx(level_dbfs - 30.0, abs=0.3)


def test_companding_noise_breathes() -> None:
    """Behind the programme it sinks by 20 dB in the recovery, and in silence there is none."""
    programme = np.concatenate([tone(2.0, -10.0), np.zeros(3 * RATE, np.float32)])
    added = companded(programme, -20.0)[2 * RATE :]
    pieces = np.sqrt(np.square(added[: 2 * RATE].reshape(-1, RATE // 25), dtype=float).mean(axis=1))
    fall_db = -20.0 * np.log10(pieces[1:9] / pieces[:8]).mean()
    assert fall_db == pytest.approx(20.0 * 0.04 / 0.2, abs=0.5)
    assert rms(added[-RATE:]) < 1e-6


def test_companding_noise_rises_with_roughness() -> None:
    """Half a step of roughness is 20 dB against the programme."""
    programme = tone(4.0, -20.0)
    ratios = []
    for roughness in (1.0, 1.5, 2.0):
        out = companded(programme, -20.0, roughness)[RATE:]
        wanted = programme[RATE:] * (
            np.dot(out, programme[RATE:]) / np.square(programme[RATE:]).sum()
        )
        ratios.append(db(rms(out - wanted) / rms(wanted)))
    assert np.diff(ratios) == pytest.approx([20.0, 20.0], abs=0.5)


def keyed(edge_s: float, marks: int = 10) -> Samples:
    """Dots of 100 ms with gaps of 100 ms, their edges raised cosines."""
    on = np.zeros(RATE // 5 * (marks + 1), np.float32)
    frames = max(1, round(edge_s * RATE))
    edge = (0.5 - 0.5 * np.cos(np.pi * (np.arange(frames) + 0.5) / frames)).astype(np.float32)
    for mark in range(marks):
        dot = on[RATE // 5 * mark + 800 : RATE // 5 * mark + 800 + RATE // 10]
        dot[:] = 1.0
        dot[:frames] = edge
        dot[-frames:] = edge[::-1]
    return on * tone(len(on) / RATE, -6.0, 700.0)


def test_every_edge_of_a_hard_key_clicks() -> None:
    """Ten dots have twenty clicks, each at the level stated, and nothing else is added."""
    programme = keyed(0.004)
    added = in_blocks(KeyClicks(-12.0, (300.0, 6000.0), RATE, Conditions()), programme) - programme
    heard = np.abs(added).reshape(-1, RATE // 100).max(axis=1) > 1e-3
    assert np.count_nonzero(heard[1:] & ~heard[:-1]) == 20
    assert db(np.abs(added).max()) == pytest.approx(-18.0, abs=0.5)


def test_a_soft_key_does_not_click() -> None:
    """Edges of 30 ms click 15 dB less than those of 4 ms, edges of 60 ms 25 dB less."""
    clicks = []
    for edge_s in (0.004, 0.03, 0.045):
        programme = keyed(edge_s)
        added = in_blocks(KeyClicks(-12.0, (300.0, 6000.0), RATE, Conditions()), programme)
        clicks.append(db(np.abs(added - programme).max()))
    assert np.array(clicks) == pytest.approx(
        [clicks[0], clicks[0] - 15.0, clicks[0] - 25.0], abs=4.0
    )


@pytest.mark.parametrize("block", [1, 7, 33, 341])
def test_key_clicks_are_block_proof(block: int) -> None:
    """Keyed sound gives the same samples however it is cut, on top of what is proved of noise."""

    def clicks() -> KeyClicks:
        return KeyClicks(-12.0, (300.0, 6000.0), RATE, Conditions())

    programme = keyed(0.004, 3)
    cut = in_blocks(clicks(), programme, [block] * (len(programme) // block), 12_345)
    np.testing.assert_array_equal(cut, in_blocks(clicks(), programme, frame=12_345))
