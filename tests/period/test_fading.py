"""Fading: how deep, how often, how long."""

import numpy as np
import pytest
from scipy.stats import kstest

from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.fading import Fading
from broadcaster.units import RATE
from tests.period.streams import in_blocks


@pytest.fixture(scope="module")
def loss_db() -> np.ndarray:
    """Five minutes of a fading of 14 dB at 5 Hz, 1,000 values a second."""
    steady = np.ones(300 * RATE, np.float32)
    return -20.0 * np.log10(
        in_blocks(Fading(14.0, 5.0, RATE, Chance(2, "fading"), Conditions()), steady)[::48]
    )


def test_depth_is_as_stated(loss_db: np.ndarray) -> None:
    """The loss reaches from almost none to almost all of the depth, and never beyond."""
    assert -1e-5 <= loss_db.min() < 0.1
    assert 13.9 < loss_db.max() <= 14.0 + 1e-5


def test_loss_is_uniform(loss_db: np.ndarray) -> None:
    """Every loss up to the depth is equally likely (Kolmogorov-Smirnov, independent values)."""
    assert kstest(loss_db[::300], "uniform", args=(0.0, 14.0)).pvalue > 0.01


def test_rate_is_as_stated(loss_db: np.ndarray) -> None:
    """It sinks through half the depth 5 times a second, within 6 %."""
    sinks = np.count_nonzero((loss_db[:-1] < 7.0) & (loss_db[1:] >= 7.0))
    assert sinks / 300.0 == pytest.approx(5.0, rel=0.06)
