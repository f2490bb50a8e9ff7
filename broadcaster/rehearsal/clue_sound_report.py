"""Clues held against the script's floor of readability."""

from collections.abc import Iterator, Sequence

from broadcaster.errors import Fault
from broadcaster.rehearsal.clue_mending import Mending
from broadcaster.rehearsal.clue_sound import ClueSound
from broadcaster.script.loading import Examination


def clue_sound_faults(clues: Sequence[ClueSound], examination: Examination) -> Iterator[Fault]:
    """Clues that are less readable than the floor allows, and what mends each."""
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
                mending_words(clue.mending, programme.station.sound),
            )


def mending_words(mending: Mending, sound: str) -> str:
    """What to turn, in a sentence."""
    ways = []
    if mending.readability is not None:
        ways.append(f"set `readability: {mending.readability:g}`")
    if mending.bed:
        ways.append(f"turn `{mending.bed}` down by {mending.down_db} dB")
    if mending.strength is not None:
        ways.append(f"let its `signal` be {mending.strength:g}")
    if not ways:
        return (
            f"Even at its gentlest `{sound}` lets it be no more readable than {mending.best:.1f}: "
            "choose another sound, or send it in another way."
        )
    words = ", or ".join(ways)
    return f"{words[0].upper()}{words[1:]}."
