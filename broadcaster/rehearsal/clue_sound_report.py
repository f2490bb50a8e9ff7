"""Clues held against the script's floor of readability."""

from collections.abc import Iterator, Sequence

from broadcaster.errors import Fault
from broadcaster.rehearsal.clue_mending import Mending, is_under
from broadcaster.rehearsal.clue_sound import ClueSound, signal_of
from broadcaster.rehearsal.tune_in_report import MEND_UNMADE
from broadcaster.script.condition_tree import NumberLiteral
from broadcaster.script.loading import Examination
from broadcaster.script.programme import Programme


def clue_sound_faults(clues: Sequence[ClueSound], examination: Examination) -> Iterator[Fault]:
    """Clues that are less readable than the floor allows, with what mends each, or not made."""
    programme = examination.programme
    if programme is None:
        return
    for clue in clues:
        if clue.rated and clue.mending:
            yield Fault(
                examination.place_of(*clue.steps, "clue"),
                f"This clue comes over at readability {clue.rated.mean:.1f}, "
                f"{clue.rated.worst:.1f} at the worst moment; "
                f"the clue floor is {programme.clue_floor:g}.",
                mending_words(clue.mending, clue, programme),
            )
        elif clue.unmade:
            yield Fault(examination.place_of(*clue.words), clue.trouble, MEND_UNMADE)


def clue_sound_advice(clues: Sequence[ClueSound], examination: Examination) -> Iterator[Fault]:
    """Clues that fall under the floor while the signal is as a session begins."""
    programme = examination.programme
    if programme is None:
        return
    for clue in clues:
        rated = clue.rated_at_first
        if rated and not clue.mending and is_under(rated, programme.clue_floor):
            yield Fault(
                examination.place_of(*clue.steps, "clue"),
                f"With the facts as a session begins the signal is {clue.strength_at_first:g} "
                f"here, and this clue comes over at readability {rated.mean:.1f}; "
                f"the clue floor is {programme.clue_floor:g}.",
                f"If it is not for the players to mend, let {_holder(programme, clue.segment)} "
                "begin stronger.",
            )


def mending_words(mending: Mending, clue: ClueSound, programme: Programme) -> str:
    """What to turn, in a sentence."""
    ways = []
    if mending.readability is not None:
        ways.append(f"set `readability: {mending.readability:g}` on this item")
    if mending.bed:
        ways.append(f"turn `{mending.bed}` down by {mending.down_db} dB")
    if mending.strength is not None:
        ways.append(_stronger(mending.strength, clue, programme))
    if not ways:
        return (
            f"Even at its gentlest, and with a full signal, `{programme.station.sound}` lets it be "
            f"no more readable than {mending.best:.1f}: "
            "choose another sound, or send it in another way."
        )
    words = (", and " if mending.together else ", or ").join(ways)
    return f"{words[0].upper()}{words[1:]}."


def _stronger(strength: float, clue: ClueSound, programme: Programme) -> str:
    signal = signal_of(programme, clue.segment)
    words = f"let {_holder(programme, clue.segment)} be {strength:g}"
    if signal is None or isinstance(signal.root, NumberLiteral):
        return words
    return f"{words} (`{signal.source}` comes to {clue.strength:g} at most)"


def _holder(programme: Programme, segment: str) -> str:
    """The signal in a segment, as a sentence has it: what has it is named."""
    if segment and programme.segments[segment].signal:
        return f"the `signal` of `{segment}`"
    return "the station's `signal`"
