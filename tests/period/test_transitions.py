"""Transitions: how one segment gives way to another."""

from typing import get_args

import numpy as np
import pytest

from broadcaster.period.lengths import frames_of
from broadcaster.period.reception import Reception
from broadcaster.script.reception import Transition
from broadcaster.script.sounds import Sound
from broadcaster.units import RATE, Samples, frames_from_seconds
from tests.period.streams import db, in_blocks, rms

WIRE = Sound(about="A wire.")
START = 10_000
STEADY = 0.25
KINDS = [kind for kind in get_args(Transition) if kind != "cut"]


def heard(kind: str, seed: int = 1, programme: float = STEADY) -> Samples:
    """Three seconds of a steady programme, with one transition."""
    reception = Reception(WIRE, seed)
    reception.give_way(kind, START)  # type: ignore[arg-type]
    return in_blocks(reception, np.full(3 * RATE, programme, np.float32))


def programme_gain(kind: str) -> Samples:
    """What becomes of the programme alone."""
    return (heard(kind) - heard(kind, programme=0.0)) / np.float32(STEADY)


def inside(samples: Samples, begin_s: float, end_s: float) -> Samples:
    """A stretch, in seconds from where the transition begins."""
    return samples[START + frames_from_seconds(begin_s) : START + frames_from_seconds(end_s)]


def test_a_cut_is_nothing_at_all() -> None:
    """It hides no frame and changes none."""
    assert frames_of("cut") == 0
    np.testing.assert_allclose(heard("cut"), STEADY, atol=1e-6)


@pytest.mark.parametrize("kind", KINDS)
def test_it_has_a_beginning_and_an_end(kind: str) -> None:
    """Before it nothing changes; two seconds after its beginning everything is as before; at its
    ends there is no step.
    """
    out = heard(kind)
    np.testing.assert_allclose(out[:START], STEADY, atol=1e-6)
    np.testing.assert_allclose(out[START + 2 * RATE :], STEADY, atol=1e-6)
    assert np.abs(out[START : START + 48] - STEADY).max() < 0.01
    changed = np.flatnonzero(np.abs(out - STEADY) > 1e-4)
    assert np.abs(out[changed[-1] - 48 : changed[-1]] - STEADY).max() < 0.01


@pytest.mark.parametrize("kind", KINDS)
def test_the_programme_is_hidden_and_comes_back(kind: str) -> None:
    """Until the hidden frames end it only sinks, by 19 dB or more; behind them it only rises."""
    gain = programme_gain(kind)[START : START + 2 * RATE]
    hidden = frames_of(kind)  # type: ignore[arg-type]
    assert np.all(np.diff(gain[:hidden]) < 1e-5)
    assert np.all(np.diff(gain[hidden:]) > -1e-5)
    assert db(gain[hidden - 1] + 1e-4) < -19.0
    assert gain[-1] == pytest.approx(1.0, abs=1e-5)


@pytest.mark.parametrize("kind", ["static burst", "retune sweep", "carrier drop"])
def test_chance_is_the_seeds(kind: str) -> None:
    """One seed gives the same samples again, another seed others."""
    np.testing.assert_array_equal(heard(kind), heard(kind))
    assert rms(inside(heard(kind, 1) - heard(kind, 2), 0.05, 0.2)) > 0.01


def test_a_static_burst_is_loud() -> None:
    """Static at -14 dB comes up over the programme, which sinks by 20 dB."""
    burst = inside(heard("static burst"), 0.05, 0.2)
    assert burst.mean() == pytest.approx(0.1 * STEADY, abs=0.012)
    assert db(rms(burst - burst.mean())) == pytest.approx(-14.0, abs=1.0)


def test_a_fade_adds_nothing() -> None:
    """The programme alone sinks to nothing, half way at half of its time, and returns."""
    out = heard("fade")
    assert inside(out, 0.4, 0.401).mean() == pytest.approx(STEADY / 2.0, rel=0.01)
    assert np.abs(inside(out, 0.795, 0.805)).max() < 1e-3
    assert np.all(np.diff(inside(out, 0.0, 0.8)) < 1e-7)
    assert np.all(np.diff(inside(out, 0.8, 1.6)) > -1e-7)


def test_a_retune_sweeps_through_a_carrier() -> None:
    """A whistle falls through nothing and rises again, over noise."""
    out = inside(heard("retune sweep", programme=0.0), 0.0, 1.2)
    window = 2_400
    pieces = out[: len(out) // window * window].reshape(-1, window)
    spectra = np.abs(np.fft.rfft(pieces * np.hanning(window)))
    pitch_hz = spectra[:, 2:].argmax(axis=1) * (RATE / window) + 2 * (RATE / window)
    clear = spectra[:, 2:].max(axis=1) > 5.0 * np.median(spectra[:, 2:250], axis=1)
    lowest = int(np.where(clear, pitch_hz, np.inf).argmin())
    assert clear.sum() >= 6
    assert pitch_hz[clear].min() < 700.0 < 1_500.0 < pitch_hz[clear].max()
    assert 4 <= lowest <= len(pieces) - 4


def test_a_carrier_drop_leaves_an_empty_channel() -> None:
    """The programme is gone at once; noise runs up and stays until the carrier is back."""
    out = heard("carrier drop")
    early, late = rms(inside(out, 0.04, 0.06)), rms(inside(out, 0.8, 1.3))
    assert db(late) == pytest.approx(-16.0, abs=1.0)
    assert db(early) < db(late) - 6.0
    assert abs(float(inside(out, 0.2, 1.3).mean())) < 0.01
    np.testing.assert_allclose(inside(out, 1.41, 1.9), STEADY, atol=1e-5)
