"""Saturation bends loud sounds and lifts soft ones."""

import numpy as np
import pytest

from broadcaster.period.conditions import Conditions
from broadcaster.period.saturation import Saturation
from broadcaster.units import Samples
from tests.period.streams import db


def bent(samples: Samples, drive_db: float) -> Samples:
    """The samples, through a saturation of their own."""
    return Saturation(drive_db, Conditions()).process(samples.copy(), 0)


@pytest.mark.parametrize("drive_db", [0.0, 5.0, 10.0, 20.0, 40.0])
def test_full_scale_stays(drive_db: float) -> None:
    """+-1 in is +-1 out, and more than full scale stays within 3 dB of it."""
    ends = bent(np.array([-1.0, 0.0, 1.0], np.float32), drive_db)
    np.testing.assert_allclose(ends, [-1.0, 0.0, 1.0], atol=1e-6)
    assert bent(np.array([4.0], np.float32), drive_db)[0] < 1.4


@pytest.mark.parametrize("drive_db", [0.0, 10.0, 30.0])
def test_it_rises_and_is_odd(drive_db: float) -> None:
    """A louder sample never comes out softer, and both signs are bent alike."""
    scale = np.linspace(-1.0, 1.0, 10_001, dtype=np.float32)
    curve = bent(scale, drive_db)
    assert np.all(np.diff(curve) > -5e-7)
    np.testing.assert_array_equal(curve, -bent(-scale, drive_db))


def test_bend_is_that_of_a_hyperbolic_tangent() -> None:
    """At a drive of 9.54 dB (three times) the curve is tanh(3 x) within 0.03."""
    scale = np.linspace(-1.0, 1.0, 1001, dtype=np.float32)
    np.testing.assert_allclose(bent(scale, db(3.0)), np.tanh(3.0 * scale), atol=0.03)


def test_soft_sounds_come_up() -> None:
    """At 10 dB of drive a sound at -60 dB rises by 10 dB, less what full scale gave way."""
    soft = np.array([1e-3], np.float32)
    assert 9.0 < db(bent(soft, 10.0)[0] / 1e-3) < 10.5
