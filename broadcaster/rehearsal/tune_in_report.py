"""Tune-in times held against the bounds that a script sets."""

from collections.abc import Iterator, Sequence

from broadcaster.errors import Fault
from broadcaster.rehearsal.tune_in_clues import NOT_REPEATED, ClueTimes
from broadcaster.script.durations import written_seconds
from broadcaster.script.loading import Examination
from broadcaster.script.programme import Item, Programme, Steps, copy_of

MEND_UNMADE = "Mend it, or send something else."
"""What is said of an item that cannot be made."""


def has_bounds(programme: Programme) -> bool:
    """Whether a script says how long a clue may take."""
    items = (item for segment in programme.segments.values() for item in segment.play)
    return programme.clues_within is not None or any(item.within is not None for item in items)


def tune_in_faults(clues: Sequence[ClueTimes], examination: Examination) -> Iterator[Fault]:
    """Clues for which somebody may wait longer than the script allows, or that cannot be made."""
    programme = examination.programme
    if programme is None:
        return
    yield from _unmade_faults(clues, examination, programme)
    for clue in clues:
        items = enumerate(programme.segments[clue.segment].play)
        own = [(place, item) for place, item in items if item.clue == clue.clue]
        place, item = min(own, key=lambda each: each[1].within or float("inf"))
        bound_s = item.within or programme.clues_within
        if bound_s is None:
            continue
        key = "within" if item.within else "clue"
        where = examination.place_of("segments", clue.segment, "play", place, key)
        allowed = f"{written_seconds(bound_s)} are allowed"
        worst_s = clue.times.worst_s
        if clue.trouble == NOT_REPEATED:
            yield Fault(where, f"This clue is not repeated, and {allowed}.", "Let it go out again.")
        elif worst_s is not None and worst_s > bound_s:
            yield Fault(
                where,
                f"Whoever tunes in at the worst moment has heard this clue after "
                f"{written_seconds(round(worst_s, 1))}; {allowed}.",
                "Send it more often, or shorten the round.",
            )


def _unmade_faults(
    clues: Sequence[ClueTimes], examination: Examination, programme: Programme
) -> Iterator[Fault]:
    for clue in clues:
        if clue.unmade:
            place = examination.place_of(*_steps_to(clue.unmade, clue.segment, programme))
            yield Fault(place, clue.trouble, MEND_UNMADE)


def _steps_to(item: Item, segment: str, programme: Programme) -> Steps:
    """Where an item of a segment is written, that may have taken on options of its `choose`."""
    copy = copy_of(item)
    return next(
        (*steps, each.kind)
        for steps, each in programme.items()
        if steps[1] == segment and each.kind == item.kind and copy_of(each) == copy
    )


def tune_in_advice(clues: Sequence[ClueTimes], examination: Examination) -> Iterator[Fault]:
    """Segments of which not every variant could be looked at."""
    for segment in dict.fromkeys(clue.segment for clue in clues if not clue.all_variants):
        yield Fault(
            examination.key_place_of("segments", segment),
            f"`{segment}` has too many variants: not all were looked at for tune-in times.",
            "The worst may be worse than is told.",
        )
