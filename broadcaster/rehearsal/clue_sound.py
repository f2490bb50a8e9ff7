"""How readable each clue goes out, predicted from its very samples."""

from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass, replace
from functools import partial
from pathlib import Path

from broadcaster.air.items import Failure
from broadcaster.air.preparing import maker
from broadcaster.listening.copied import Copied, copied_by
from broadcaster.listening.hearing import Way
from broadcaster.listening.readability import Readability
from broadcaster.listening.solved import SolvedCache, key_of
from broadcaster.listening.solver import readability_of
from broadcaster.period.conditions import AS_WRITTEN
from broadcaster.rehearsal.clue_mending import Dials, Mending, Trial, is_under
from broadcaster.rehearsal.opening import opening_strength, opening_text
from broadcaster.script.condition_range import strengths
from broadcaster.script.condition_tree import Expression
from broadcaster.script.programme import Choose, Item, Programme, Steps
from broadcaster.script.reception import FULL_SIGNAL, NO_SIGNAL
from broadcaster.story.cue import Content
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
    strength_at_first: float = FULL_SIGNAL
    """How strong the signal is with the facts as a session begins."""
    rated: Readability | None = None
    """At the strongest signal."""
    rated_at_first: Readability | None = None
    """At the signal as a session begins."""
    mending: Mending | None = None
    """For a clue under the floor."""
    trouble: str = ""
    """Why it is not rated, in a sentence."""
    unmade: bool = False
    """It cannot be made: that is why."""
    variant: int | None = None
    """Which of a choice it is."""

    @property
    def words(self) -> Steps:
        """What leads to its words."""
        within = () if self.variant is None else ("choose", self.variant)
        return (*self.steps, *within, self.kind)

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
    for steps, item in programme.items():
        if item.clue:
            told = partial(ClueSound, steps, item.clue)
            if isinstance(item, Choose):
                for number, heard in enumerate(item.choose):
                    text = opening_text(programme, heard)
                    yield told(heard.kind, text, variant=number), heard
            else:
                yield told(item.kind, opening_text(programme, item)), item


def signal_of(programme: Programme, segment: str) -> Expression | None:
    """What the script says of the signal in a segment, or (empty) where there is none."""
    own = programme.segments[segment].signal if segment else None
    return own or programme.station.signal


class _Ear:
    """Listens to one programme."""

    def __init__(self, programme: Programme, folder: Path) -> None:
        if programme.period is None:
            raise ValueError("the programme has no period sound; read it through the script room")
        self._programme = programme
        self._make = maker(programme, Speaker(SpeechCache(folder)))
        self._solved = SolvedCache(folder)
        self._way = Way(programme.period, 0, make_up_db(programme.period))
        self._before: dict[tuple[str, Dials], Readability] = {}
        """What is sent again is not listened to again."""
        self._mendings: dict[tuple[str, Dials], Mending] = {}

    def listen(self, told: ClueSound, item: Item) -> ClueSound:
        copied = copied_by(item)
        made = self._make(Content(item, told.text, None))
        if isinstance(made, Failure):
            trouble = f"The {item.kind} {told.text!r} {made.sentence}."
            return replace(told, trouble=trouble, unmade=True)
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
        signal = signal_of(programme, told.segment)
        if signal is not None:
            strongest = strengths(signal.root, programme.facts).most
            told = replace(
                told,
                strength=min(max(strongest, NO_SIGNAL), FULL_SIGNAL),
                strength_at_first=opening_strength(programme, signal),
            )
        return told

    def _rated(self, told: ClueSound, samples: Samples, copied: Copied) -> ClueSound:
        sent = key_of(told.roughness, samples, self._way, copied)
        dials = Dials(told.roughness, told.strength)
        at_first = replace(dials, strength=told.strength_at_first)
        rated = self._heard(sent, dials, samples, copied)
        if is_under(rated, self._programme.clue_floor) and (sent, dials) not in self._mendings:
            floor, solve = self._programme.clue_floor, self._solved.roughness_for
            trial = Trial(floor, samples, self._way, copied, solve)
            mending = trial.mending(dials, as_written=told.wanted is None)
            self._mendings[sent, dials] = mending
        return replace(
            told,
            rated=rated,
            rated_at_first=self._heard(sent, at_first, samples, copied),
            mending=self._mendings.get((sent, dials)),
        )

    def _heard(self, sent: str, dials: Dials, samples: Samples, copied: Copied) -> Readability:
        if (sent, dials) not in self._before:
            rated = readability_of(samples, self._way, copied, **asdict(dials))
            self._before[sent, dials] = rated
        return self._before[sent, dials]
