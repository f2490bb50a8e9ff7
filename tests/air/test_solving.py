"""An item is made, and the roughness worked out at which it is as readable as it is to be."""

from pathlib import Path

import numpy as np
import pytest

from broadcaster.air.items import Made
from broadcaster.air.preparing import Preparing
from broadcaster.air.solving import Solving
from broadcaster.listening.solver import ACCURACY
from broadcaster.script.programme import Morse, Tone
from broadcaster.story.cue import Cue
from broadcaster.units import silence
from tests.air.make import SHORTWAVE, on_air, watch_and_gate
from tests.story.make import pause

KEY = Morse(morse="E", clue="e")


@pytest.fixture(scope="module")
def folder(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where solutions are kept, so that each is worked out once in this module."""
    return tmp_path_factory.mktemp("solutions")


def test_the_worker_works_out_what_is_wanted(folder: Path) -> None:
    """Roughness and prediction come back with the samples; without a wish, the samples alone."""
    wanted, plain = (Cue("watch", KEY, "E", readability=grade) for grade in (4.0, None))
    with Preparing(on_air(watch_and_gate(), SHORTWAVE), folder, print) as items:
        solved, bare = items.fetch(wanted), items.fetch(plain)
    assert isinstance(solved, Made)
    assert isinstance(bare, Made)
    assert (bare.roughness, bare.readability) == (None, None)
    assert solved.roughness is not None
    assert solved.readability == pytest.approx(4.0, abs=ACCURACY)
    np.testing.assert_array_equal(solved.samples, bare.samples)
    here = Solving(SHORTWAVE, folder).made(KEY, bare.samples, 4.0)
    assert (here.roughness, here.readability) == (solved.roughness, solved.readability)


@pytest.mark.parametrize("item", [pause("1 s"), Tone(tone="440 Hz")])
def test_what_cannot_be_heard_wants_nothing(item: Tone) -> None:
    """Silence has no readability; the sound stays as it was."""
    made = Solving(SHORTWAVE, None).made(item, silence(4_800), 4.0)
    assert made.roughness is None
