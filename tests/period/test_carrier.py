"""The carrier: it quietens the channel, drops out, and comes and goes with speech."""

import numpy as np
import pytest

from broadcaster.period.carrier import Carrier, Interruptions, Key
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.units import Samples
from tests.period.streams import db, in_blocks, noise, rms

RATE = 16_000
RARELY_S = 1e6


def carrier(
    every_s: float, *, length_s: float = 0.2, key: Key | None = None, roughness: float = 1.0
) -> Carrier:
    """A carrier that lowers a noise of -20 dB by 30 dB."""
    chance = Chance(5, "carrier")
    gone = Interruptions(every_s, length_s, RATE, chance)
    channel = -20.0, 30.0, (200.0, 4000.0)
    return Carrier(*channel, gone, key, RATE, chance, Conditions(roughness))


def silence(seconds: float) -> Samples:
    """Nobody speaks."""
    return np.zeros(round(seconds * RATE), np.float32)


def levels(samples: Samples) -> np.ndarray:
    """The level in decibels of every 10 ms."""
    tens = np.square(samples, dtype=np.float64).reshape(-1, RATE // 100)
    return 10.0 * np.log10(tens.mean(axis=1))


def test_it_quietens_the_channel() -> None:
    """Under a carrier the noise is as far under its level as the quieting says, within 0.2 dB."""
    heard = in_blocks(carrier(RARELY_S), silence(20))
    assert db(rms(heard)) == pytest.approx(-50.0, abs=0.2)


def test_dropouts_come_as_often_and_last_as_long_as_stated() -> None:
    """As many as the mean interval says, within 15 %; the middle one as long, within 15 %."""
    gone = levels(in_blocks(carrier(4.0, length_s=0.3), silence(1600))) > -35.0
    begins = np.flatnonzero(gone[1:] & ~gone[:-1])
    ends = np.flatnonzero(gone[:-1] & ~gone[1:])
    lengths = (ends - begins[: len(ends)]) / 100.0
    apart = 4.0 + 0.3  # one that begins within another is not counted
    assert len(begins) == pytest.approx(1600.0 / apart, rel=0.15)
    assert np.median(lengths) == pytest.approx(0.33, rel=0.15)


def test_programme_goes_where_the_carrier_goes() -> None:
    """In a dropout nothing is left of the programme, and the noise has its full level."""
    interruptions = Interruptions(2.0, 0.5, RATE, Chance(5, "carrier"))
    gone = interruptions.read(0, 60 * RATE) == 1.0
    loud = noise(60 * RATE, 0.3)
    bed, heard = (in_blocks(carrier(2.0, length_s=0.5), sent) for sent in (0.0 * loud, loud))
    np.testing.assert_array_equal(heard[gone], bed[gone])
    assert db(rms(bed[gone])) == pytest.approx(-20.0, abs=0.3)


def test_the_gentlest_carrier_stays() -> None:
    """At roughness 0 there is no dropout, and hardly any noise."""
    sent = noise(60 * RATE, 0.3)
    heard = in_blocks(carrier(2.0, roughness=0.0), sent)
    assert db(rms(heard - sent)) < -80.0


def test_noise_under_a_carrier_is_never_louder_than_without() -> None:
    """However rough, the empty channel's noise is the most there can be."""
    heard = in_blocks(carrier(RARELY_S, roughness=2.0), silence(20))
    assert db(rms(heard)) == pytest.approx(-20.0, abs=0.2)


def test_keyed_carrier_is_up_around_speech() -> None:
    """It comes up 150 ms before speech and drops away the stated time after it."""
    sent = silence(6)
    sent[2 * RATE : 3 * RATE] = noise(RATE, 0.0003)  # too soft to be speech
    sent[3 * RATE : 4 * RATE] = noise(RATE, 0.1)
    heard = in_blocks(carrier(RARELY_S, key=Key(0.5, RATE)), sent)
    up = levels(heard - np.concatenate([silence(0.15), sent[: -round(0.15 * RATE)]])) < -35.0
    came, went = np.flatnonzero(up)[[0, -1]] / 100.0
    assert came == pytest.approx(3.0, abs=0.02)
    assert went == pytest.approx(4.0 + 0.15 + 0.5, abs=0.02)
    assert up[round(came * 100) : round(went * 100)].all()


def test_speech_is_whole_under_a_keyed_carrier() -> None:
    """From its first sample on speech is as it was, later by the latency; noise lies under it."""
    sent = silence(3)
    sent[RATE : 2 * RATE] = noise(RATE, 0.1)
    processor = carrier(RARELY_S, key=Key(0.5, RATE))
    heard = in_blocks(processor, sent)[RATE + processor.latency : 2 * RATE + processor.latency]
    assert db(rms(heard - sent[RATE : 2 * RATE])) == pytest.approx(-50.0, abs=0.5)
