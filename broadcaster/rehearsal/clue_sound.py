"""How readable each clue goes out, predicted from its very samples."""

from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, replace
from pathlib import Path

from broadcaster.air.items import Failure
from broadcaster.air.preparing import maker
from broadcaster.listening.copied import Copied, copied_by
from broadcaster.listening.hearing import Way
from broadcaster.listening.readability import Readability
from broadcaster.listening.solved import SolvedCache, key_of
from broadcaster.listening.solver import ACCURACY, readability_of
from broadcaster.period.conditions import AS_WRITTEN
from broadcaster.rehearsal.clue_mending import Dials, Mending, mending_of
from broadcaster.script.condition_range import strengths
from broadcaster.script.programme import Choose, Item, Programme, Steps
from broadcaster.script.reception import FULL_SIGNAL, NO_SIGNAL
from broadcaster.story.cue import Content, text_of
from broadcaster.transmitter.making_up import make_up_db
from broadcaster.units import Samples
from broadcaster.voice.cache import SpeechCache
from broadcaster.voice.speaker import Speaker

Progress = Callable[[int, int], None]
"""Told how many of how many clues have been listened to."""


@dataclass(frozen=True, slots=True)
class ClueSound:
    """A clue as it is heard."""

    steps: Steps
    """Where its item stands in the programme."""
    clue: str
    kind: str
    """Of the item; where a variant is chosen, of the variant."""
    text: str
    wanted: float | None = None
    """The readability for which the sound is made rougher or gentler; None: it is as written."""
    roughness: float = AS_WRITTEN
    strength: float = FULL_SIGNAL
    """The strongest signal that the script lets it have."""
    rated: Readability | None = None
    mending: Mending | None = None
    """For a clue under the floor."""
    trouble: str = ""
    """Why it is not rated, in a sentence."""

    @property
    def segment(self) -> str:
        """Empty for a clue in the timetable."""
        return str(self.steps[1]) if self.steps[0] == "segments" else ""


def clue_sounds(
    programme: Programme, folder: Path, progress: Progress | None = None
) -> Iterator[ClueSound]:
    """Every clue in the script's order: made, received and listened to.

    `folder`: where spoken words and solutions are kept. Facts stand as a session begins.
    """
    clues = list(_clues(programme))
    if not clues:
        return
    ear = _Ear(programme, folder)
    for done, (told, item) in enumerate(clues):
        if progress:
            progress(done, len(clues))
        yield ear.listen(told, item)


def _clues(programme: Programme) -> Iterator[tuple[ClueSound, Item]]:
    """Each clue with the item that sounds; of a `choose`, with each of its variants."""
    facts = {name: fact.at_first for name, fact in programme.facts.items()}
    for steps, item in programme.items():
        if item.clue:
            for heard in item.choose if isinstance(item, Choose) else (item,):
                yield ClueSound(steps, item.clue, heard.kind, text_of(heard, facts)), heard


class _Ear:
    """Listens to one programme."""

    def __init__(self, programme: Programme, folder: Path) -> None:
        if programme.period is None:
            raise ValueError("the programme has no period sound; read it through the script room")
        self._programme = programme
        self._make = maker(programme, Speaker(SpeechCache(folder)))
        self._solved = SolvedCache(folder)
        self._way = Way(programme.period, 0, make_up_db(programme.period))
        self._before: dict[tuple[str, float], tuple[Readability, Mending | None]] = {}
        """What is sent again is not listened to again."""

    def listen(self, told: ClueSound, item: Item) -> ClueSound:
        copied = copied_by(item)
        made = self._make(Content(item, told.text, None))
        if isinstance(made, Failure):
            return replace(told, trouble=f"It {made.sentence.rstrip('.')}.")
        if copied is None or not made.samples.any():
            return replace(told, trouble="There is nothing to hear in it.")
        return self._rated(self._received(told, item, made.samples, copied), made.samples, copied)

    def _received(self, told: ClueSound, item: Item, samples: Samples, copied: Copied) -> ClueSound:
        """The clue with the dials at which it is received."""
        programme = self._programme
        segment = programme.segments[told.segment] if told.segment else None
        wanted = (
            item.readability or (segment and segment.readability) or programme.station.readability
        )
        if wanted is not None:
            solution = self._solved.roughness_for(wanted, samples, self._way, copied)
            told = replace(told, wanted=wanted, roughness=solution.roughness)
        signal = (segment and segment.signal) or programme.station.signal
        if signal is not None:
            strongest = strengths(signal.root, programme.facts).most
            told = replace(told, strength=min(max(strongest, NO_SIGNAL), FULL_SIGNAL))
        return told

    def _rated(self, told: ClueSound, samples: Samples, copied: Copied) -> ClueSound:
        sent = key_of(told.roughness, samples, self._way, copied), told.strength
        if sent not in self._before:
            self._before[sent] = self._weighed(told, samples, copied)
        rated, mending = self._before[sent]
        return replace(told, rated=rated, mending=mending)

    def _weighed(
        self, told: ClueSound, samples: Samples, copied: Copied
    ) -> tuple[Readability, Mending | None]:
        floor, dials = self._programme.clue_floor, Dials(told.roughness, told.strength)
        rated = readability_of(samples, self._way, copied, **asdict(dials))
        if not is_under(rated, floor):
            return rated, None
        as_written = told.wanted is None
        return rated, mending_of(floor, samples, self._way, copied, dials, as_written=as_written)


def is_under(rated: Readability, floor: float) -> bool:
    """Whether a clue is under a floor by more than the prediction may err."""
    return rated.mean < floor - ACCURACY
