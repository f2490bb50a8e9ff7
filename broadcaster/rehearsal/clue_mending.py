"""What would bring a clue to its floor: tried out, on its very samples."""

from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, replace

from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Way
from broadcaster.listening.solver import TOLERANCE, readability_of, roughness_for
from broadcaster.script.reception import FULL_SIGNAL
from broadcaster.units import Samples

BEDS = ("hiss", "static", "crackle", "murmur", "whistle", "hum")
"""Kinds of processors whose first value is the level of something under the programme."""
_MOST_DOWN_DB = 40
_QUIETEST_DB = -120.0
_STRENGTHS = (1.0, 2.0, 3.0, 4.0, FULL_SIGNAL)


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


def mending_of(
    floor: float, item: Samples, way: Way, copied: Copied, dials: Dials, *, as_written: bool
) -> Mending:
    """What would mend a clue that is received at these dials.

    `as_written`: the sound is as its table says, so that to change the table helps.
    """

    def mean(dials: Dials, way: Way = way) -> float:
        return readability_of(item, way, copied, quick=True, **asdict(dials)).mean

    mending = Mending(best=mean(Dials(0.0, FULL_SIGNAL)))
    solved = replace(dials, roughness=roughness_for(floor, item, way, copied).roughness)
    if mean(solved) >= floor - TOLERANCE:
        mending = replace(mending, readability=floor)
    stronger = (each for each in _STRENGTHS if each > dials.strength)
    enough = (each for each in stronger if mean(replace(dials, strength=each)) >= floor)
    mending = replace(mending, strength=next(enough, None))
    if as_written:
        down = min(_enough_down(way, lambda changed: mean(dials, changed) >= floor), default=None)
        if down:
            mending = replace(mending, down_db=down[0], bed=down[1])
    return mending


def _enough_down(way: Way, does: Callable[[Way], bool]) -> Iterator[tuple[int, str]]:
    """By how many decibels each bed must sink to do it alone, if it can."""
    for place, row in enumerate(way.sound.processors):
        if row.kind not in BEDS or not does(_with_bed_down(way, place, _MOST_DOWN_DB)):
            continue
        too_little, enough = 0, _MOST_DOWN_DB
        while enough - too_little > 1:
            middle = (too_little + enough) // 2
            if does(_with_bed_down(way, place, middle)):
                enough = middle
            else:
                too_little = middle
        yield enough, row.kind


def _with_bed_down(way: Way, place: int, down_db: int) -> Way:
    rows = list(way.sound.processors)
    level_db = max(getattr(rows[place], rows[place].kind) - down_db, _QUIETEST_DB)
    rows[place] = rows[place].model_copy(update={rows[place].kind: level_db})
    return replace(way, sound=way.sound.model_copy(update={"processors": tuple(rows)}))
