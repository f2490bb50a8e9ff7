"""Filters that carry on are scipy's own, bit for bit."""

import builtins
import importlib
from collections.abc import Iterator

import numpy as np
import pytest
from scipy.signal import butter, sosfilt

from broadcaster.period import sections
from tests.period.streams import noise

BAND = butter(4, (300.0, 3400.0), "bandpass", fs=16_000, output="sos")


@pytest.fixture(params=["its loop", "sosfilt itself"])
def module(request: pytest.FixtureRequest, monkeypatch: pytest.MonkeyPatch) -> Iterator[object]:
    """The module as it is, and as it is beside a scipy that keeps its loop elsewhere."""
    importing = builtins.__import__

    def without(name: str, *rest: object) -> object:
        if name == "scipy.signal._sosfilt":
            raise ImportError(name)
        return importing(name, *rest)  # type: ignore[arg-type]

    if request.param == "sosfilt itself":
        with monkeypatch.context() as patch:
            patch.setattr(builtins, "__import__", without)
            importlib.reload(sections)
    yield sections
    importlib.reload(sections)


def test_it_is_what_scipy_makes_of_the_whole(module: object) -> None:
    """In any blocks the samples are those of one call of sosfilt in float32."""
    stream = noise(5_000)
    rest = np.zeros((len(BAND), 2), np.float32)
    expected, _ = sosfilt(BAND.astype(np.float32), stream, zi=rest)
    carried = module.Sections(BAND)  # type: ignore[attr-defined]
    out = [carried.process(part) for part in np.split(stream, [1, 2, 343, 3_000])]
    np.testing.assert_array_equal(np.concatenate(out), expected)


def test_the_block_stays_as_it_is(module: object) -> None:
    """What is filtered is a copy; strides do not matter; nothing stays nothing."""
    stream = noise(999)
    kept = stream.copy()
    every_third = module.Sections(BAND).process(stream[::3])  # type: ignore[attr-defined]
    np.testing.assert_array_equal(stream, kept)
    again = module.Sections(BAND).process(stream[::3].copy())  # type: ignore[attr-defined]
    np.testing.assert_array_equal(every_third, again)
    assert module.Sections(BAND).process(stream[:0]).shape == (0,)  # type: ignore[attr-defined]
