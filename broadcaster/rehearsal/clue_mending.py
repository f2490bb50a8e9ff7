"""What would bring a clue to its floor: tried out, on its very samples."""

from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, replace

from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Way
from broadcaster.listening.readability import Readability
from broadcaster.listening.solver import ACCURACY, Solution, readability_of
from broadcaster.period.conditions import AS_WRITTEN
from broadcaster.script.reception import FULL_SIGNAL, PERFECTLY_READABLE
from broadcaster.units import Samples

BEDS = ("hiss", "static", "crackle", "murmur", "whistle", "hum")
"""Kinds of processors whose first value is the level of something under the programme."""
_MOST_DOWN_DB = 40
_QUIETEST_DB = -120.0
_STRENGTHS = (1.0, 2.0, 3.0, 4.0, FULL_SIGNAL)
_ROUGHNESSES = (0.0, 0.5, AS_WRITTEN)
"""Where a weak signal is tried first: it is not the gentlest sound that carries it best."""
_GRADE_STEP = 0.5


@dataclass(frozen=True, slots=True)
class Dials:
    """Where the dials of reception stand for a clue."""

    roughness: float
    strength: float


@dataclass(frozen=True, slots=True)
class Mending:
    """What would bring a clue to its floor, each alone."""

    best: float
    """The readability of the clue at its gentlest and strongest."""
    readability: float | None = None
    """What to ask for; None: asking is not enough."""
    bed: str | None = None
    """The bed that is to sink, where one alone does it; if several would, that which need least."""
    down_db: int = 0
    """By how much."""
    strength: float | None = None
    """How strong the signal would have to be."""
    together: bool = False
    """Only the asking and the signal together are enough."""


def is_under(rated: Readability, floor: float) -> bool:
    """Whether a clue is under a floor by more than the prediction may err."""
    return rated.mean < floor - ACCURACY


@dataclass(frozen=True, slots=True)
class Trial:
    """A clue whose reception is changed, to see what brings it to the floor."""

    floor: float
    item: Samples
    way: Way
    copied: Copied
    solve: Callable[[float, Samples, Way, Copied], Solution]
    """What finds the roughness for a readability: solver.roughness_for(), or what it remembers."""

    def mending(self, dials: Dials, *, as_written: bool) -> Mending:
        """What would mend the clue if it is received at these dials.

        `as_written`: the sound is as its table says, so that to change the table helps.
        """
        mending = Mending(
            best=self._mean(Dials(0.0, FULL_SIGNAL), self.way),
            readability=self._grade_enough(dials.strength),
            strength=self._strong_enough(dials),
        )
        if as_written:
            down = min(self._enough_down(dials), default=None)
            if down:
                mending = replace(mending, down_db=down[0], bed=down[1])
        if mending.readability or mending.strength or mending.bed:
            return mending
        strength = self._strong_enough(replace(dials, roughness=0.0))
        if strength is None:
            return mending
        grade = self._grade_enough(strength)
        return replace(mending, readability=grade, strength=strength, together=True)

    def _mean(self, dials: Dials, way: Way) -> float:
        return readability_of(self.item, way, self.copied, quick=True, **asdict(dials)).mean

    def _passes(self, dials: Dials) -> bool:
        """Whether the clue is not under the floor; where it is near, as the check hears it."""
        about = self._mean(dials, self.way)
        if abs(about - self.floor) > 2 * ACCURACY:
            return about > self.floor
        rated = readability_of(self.item, self.way, self.copied, **asdict(dials))
        return not is_under(rated, self.floor)

    def _grade_enough(self, strength: float) -> float | None:
        """The least readability to ask for, in half grades, that is enough at this strength."""
        if not any(self._passes(Dials(each, strength)) for each in _ROUGHNESSES):
            return None  # to work out the grades takes a second each
        grade = self.floor
        while grade <= PERFECTLY_READABLE:
            roughness = self.solve(grade, self.item, self.way, self.copied).roughness
            if self._passes(Dials(roughness, strength)):
                return grade
            if roughness == 0.0:  # gentler it cannot be
                break
            grade += _GRADE_STEP
        return None

    def _strong_enough(self, dials: Dials) -> float | None:
        """The least of a few stronger signals that is enough."""
        stronger = (each for each in _STRENGTHS if each > dials.strength)
        enough = (each for each in stronger if self._passes(replace(dials, strength=each)))
        return next(enough, None)

    def _enough_down(self, dials: Dials) -> Iterator[tuple[int, str]]:
        """By how many decibels each bed must sink to do it alone, if it can."""
        for place, row in enumerate(self.way.sound.processors):
            if row.kind not in BEDS or not self._does_down(dials, place, _MOST_DOWN_DB):
                continue
            too_little, enough = 0, _MOST_DOWN_DB
            while enough - too_little > 1:
                middle = (too_little + enough) // 2
                if self._does_down(dials, place, middle):
                    enough = middle
                else:
                    too_little = middle
            yield enough, row.kind

    def _does_down(self, dials: Dials, place: int, down_db: int) -> bool:
        return self._mean(dials, _with_bed_down(self.way, place, down_db)) >= self.floor


def _with_bed_down(way: Way, place: int, down_db: int) -> Way:
    rows = list(way.sound.processors)
    level_db = max(getattr(rows[place], rows[place].kind) - down_db, _QUIETEST_DB)
    rows[place] = rows[place].model_copy(update={rows[place].kind: level_db})
    return replace(way, sound=way.sound.model_copy(update={"processors": tuple(rows)}))
