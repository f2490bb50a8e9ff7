"""Reception: one continuous stream, with dials to turn."""

import numpy as np
import pytest

from broadcaster.period.bands import BandLimit
from broadcaster.period.reception import Reception
from broadcaster.script.sounds import Sound
from broadcaster.units import RATE
from tests.period.streams import EVERYTHING, db, in_blocks, noise, rms, speechlike

NOTHING = Sound(about="A wire.")
WITHOUT_BENDS = Sound.model_validate(
    {
        "about": "A way and a set.",
        "processors": [
            {"band": "200 Hz to 4 kHz"},
            {"fading": "3 dB", "rate": "1 Hz"},
            {"hiss": "-45 dB", "band": "300 Hz to 3 kHz"},
            {"band": "300 Hz to 3 kHz"},
        ],
    }
)


def test_without_processors_it_is_a_wire() -> None:
    """A sound without processors lets the programme through, but for the floor at -160 dB."""
    programme = speechlike(10_000)
    np.testing.assert_allclose(in_blocks(Reception(NOTHING, 1), programme), programme, atol=1e-7)


def test_seed_decides() -> None:
    """The same seed gives the same samples, another seed others."""
    programme = speechlike(20_000)
    first, again, other = (in_blocks(Reception(EVERYTHING, seed), programme) for seed in (1, 1, 2))
    np.testing.assert_array_equal(first, again)
    assert rms(first - other) > 1e-3


def test_two_beds_of_one_kind_are_independent() -> None:
    """Two rows of the same kind do not add up to one twice as loud."""
    hiss = {"hiss": "-40 dB"}
    single = Sound.model_validate({"about": "One.", "processors": [hiss]})
    double = Sound.model_validate({"about": "Two.", "processors": [hiss, hiss]})
    quiet = np.zeros(480_000, np.float32)
    gain = rms(in_blocks(Reception(double, 1), quiet)) / rms(in_blocks(Reception(single, 1), quiet))
    assert db(gain) == pytest.approx(3.01, abs=0.1)


def test_what_has_gone_through_stays() -> None:
    """A transition or a turn of a dial in the past is refused; at the next frame it is not."""
    reception = Reception(NOTHING, 1)
    reception.process(np.zeros(1_000, np.float32), 0)
    reception.give_way("fade", 1_000)
    reception.set(1_000, strength=3.0)
    with pytest.raises(ValueError, match="frame 999 has gone through; the next one is 1000"):
        reception.give_way("fade", 999)
    with pytest.raises(ValueError, match="frame 999 has gone through"):
        reception.set(999, strength=3.0)


def programme_and_rest(frames: int, **dials: float) -> tuple[float, float]:
    """The level of a tone through EVERYTHING, and of all else that is heard in its band."""
    tone = np.sin(np.arange(frames) * (2.0 * np.pi * 1000.0 / RATE)).astype(np.float32)
    out = in_blocks(Reception(WITHOUT_BENDS, 1, **dials), tone * np.float32(0.1)).astype(float)
    settled = out[RATE:]
    turn = np.exp(np.arange(len(settled)) * (-2j * np.pi * 1000.0 / RATE))
    level = 2.0 * abs((settled * turn).mean())
    return level, float(np.sqrt(max((settled**2).mean() - level**2 / 2.0, 1e-20)))


def test_noise_rises_with_roughness_and_falls_with_strength() -> None:
    """Each step of either dial leaves more noise against a tone, from hardly any to nothing but."""
    by_roughness = [
        rest / level
        for level, rest in (
            programme_and_rest(4 * RATE, roughness=value) for value in (0.0, 0.5, 1.0, 1.5, 2.0)
        )
    ]
    by_strength = [
        rest / level
        for level, rest in (
            programme_and_rest(4 * RATE, strength=value) for value in (5.0, 4.0, 3.0, 2.0, 1.0, 0.0)
        )
    ]
    assert np.all(np.diff(by_roughness) > 0.0)
    assert np.all(np.diff(by_strength) > 0.0)
    assert db(by_roughness[4] / by_roughness[0]) > 60.0
    assert by_strength[-1] > 30.0


@pytest.mark.parametrize("dials", [{"strength": value} for value in (0.0, 1.5, 3.0)])
def test_the_receiver_holds_the_total(dials: dict[str, float]) -> None:
    """However weak the signal, noise at the level of speech and the beds stay within 2.5 dB."""
    band = BandLimit(200.0, 1500.0, 6.0, RATE)
    speech = in_blocks(band, noise(5 * RATE, 0.1 / band.noise_rms))
    strong = in_blocks(Reception(WITHOUT_BENDS, 1), speech)
    weak = in_blocks(Reception(WITHOUT_BENDS, 1, **dials), speech)
    assert db(rms(weak[RATE:]) / rms(strong[RATE:])) == pytest.approx(0.0, abs=2.5)


def test_dials_can_be_turned_before_and_while() -> None:
    """Where a glide has ended, the stream is what it would be had the dials begun there."""
    speech = speechlike(3 * RATE)
    turned = Reception(WITHOUT_BENDS, 1)
    turned.set(0, roughness=1.5, strength=3.0, glide_frames=RATE)
    begun = in_blocks(Reception(WITHOUT_BENDS, 1, roughness=1.5, strength=3.0), speech)
    np.testing.assert_allclose(in_blocks(turned, speech)[2 * RATE :], begun[2 * RATE :], atol=1e-5)


def test_latency_is_that_of_speech() -> None:
    """A wire that runs at 16 kHz inside is later by its latency, to a frame, and flat to 0.2 dB."""
    narrow = Sound.model_validate(
        {"about": "Narrow.", "processors": [{"band": "20 Hz to 6.8 kHz"}]}
    )
    reception = Reception(narrow, 1)
    speech = in_blocks(BandLimit(300.0, 3000.0, 24.0, RATE), noise(2 * RATE, 0.1))
    heard = in_blocks(reception, speech)
    lags = range(150)
    match = [float(np.dot(speech[: -lag or None], heard[lag:])) for lag in lags]
    assert abs(int(np.argmax(match)) - reception.latency) <= 3
    assert db(rms(heard) / rms(speech)) == pytest.approx(0.0, abs=0.2)


@pytest.mark.parametrize("loop", [1, 100, 959, 8_192, 8_193, 100_003, 100_032])
def test_loop_comes_again(loop: int) -> None:
    """Once the filters have settled a loop of any length sounds the same each time (-100 dB)."""
    rounds = 3 + 4_800 // loop
    out = in_blocks(Reception(EVERYTHING, 1, loop), np.tile(speechlike(loop), rounds))
    last, before = out[-loop:], out[-2 * loop : -loop]
    np.testing.assert_allclose(last, before, atol=1e-5)


def test_loop_has_no_seam() -> None:
    """The step from a loop's last frame to its first is like the steps inside it."""
    loop = 100_003
    out = in_blocks(Reception(EVERYTHING, 1, loop), np.tile(speechlike(loop), 2))
    steps = np.abs(np.diff(out[loop:]))
    assert abs(out[loop] - out[-1]) <= steps.max()
