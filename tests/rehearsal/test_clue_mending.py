"""What brings a clue to its floor, with a stand-in for the ear: grades by two straight lines."""

import pytest

from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Way
from broadcaster.listening.readability import Readability
from broadcaster.listening.solver import Solution
from broadcaster.rehearsal import clue_mending
from broadcaster.rehearsal.clue_mending import Dials, Trial
from broadcaster.script.sounds import Sound
from broadcaster.units import silence

FLOOR = 3.0


@pytest.fixture
def trial(monkeypatch):
    """A clue that loses two grades with a step of roughness, and so much with one of strength."""

    def trial(lost_with_strength):
        def grade(roughness, strength):
            return 5.0 - 2.0 * roughness - lost_with_strength * (5.0 - strength)

        def readability_of(item, way, copied, *, roughness, strength, quick=False):
            del item, way, copied, quick
            return Readability((grade(roughness, strength),), over_bed_db=0.0)

        def solve(wanted, item, way, copied):
            del item, way, copied
            return Solution((5.0 - wanted) / 2.0, wanted)

        monkeypatch.setattr(clue_mending, "readability_of", readability_of)
        way = Way(Sound(about="nothing", processors=()), 0, 0.0)
        return Trial(FLOOR, silence(1), way, Copied.SPEECH, solve)

    return trial


def test_asking_for_more_than_the_floor(trial):
    """Where a weak signal takes 0.8 of a grade, 4 must be asked for; 3.5 comes to 2.7."""
    mending = trial(0.4).mending(Dials(roughness=1.0, strength=3.0), as_written=False)
    assert (mending.readability, mending.strength, mending.together) == (4.0, 5.0, False)


def test_asking_is_not_enough(trial):
    """Where the signal alone takes too much, only a stronger one is told."""
    mending = trial(1.5).mending(Dials(roughness=1.0, strength=3.0), as_written=False)
    assert (mending.readability, mending.strength) == (None, 5.0)


def test_two_things_together(trial):
    """Too rough for the strongest signal, and too weak for the gentlest sound."""
    mending = trial(1.0).mending(Dials(roughness=1.5, strength=0.0), as_written=True)
    assert (mending.readability, mending.strength, mending.together) == (5.0, 3.0, True)


def test_what_passes_is_told(trial):
    """As much under the floor as the check lets pass is enough: 0.25."""
    mending = trial(0.2).mending(Dials(roughness=1.25, strength=4.0), as_written=False)
    assert mending.readability == FLOOR
