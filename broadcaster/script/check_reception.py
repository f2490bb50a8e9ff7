"""Whether signals make sense, and clues are asked to be as readable as clues must be."""

from collections.abc import Iterable, Iterator
from math import inf
from typing import TypeAlias

from broadcaster.errors import Fault
from broadcaster.script.condition_range import strengths
from broadcaster.script.condition_tree import Expression
from broadcaster.script.condition_types import check_signal
from broadcaster.script.programme import Item, Segment, Station
from broadcaster.script.reception import FULL_SIGNAL, NO_SIGNAL
from broadcaster.script.scene import Scene, Written, variants

Holder: TypeAlias = Written[Station] | Written[Segment]


def signals(scene: Scene) -> Iterator[tuple[Holder, Expression]]:
    """Every signal, and the station or segment that has it."""
    holders: list[Holder] = [scene.station] if scene.station else []
    holders += [segment.written for segment in scene.segments]
    for holder in holders:
        if holder.form.signal:
            yield holder, holder.form.signal


def reception_faults(scene: Scene) -> Iterator[Fault]:
    """Signals of what has no strength or is never on the scale, and clues under the floor."""
    yield from _signal_faults(scene)
    station = scene.station.form.readability if scene.station else None
    for segment in scene.segments:
        usual = segment.written.form.readability or station
        yield from _clue_faults((*segment.items, *segment.hints), usual, scene)
    for entry in scene.timetable:
        yield from _clue_faults(entry.parts("play", entry.form.play), station, scene)


def _signal_faults(scene: Scene) -> Iterator[Fault]:
    if not scene.script.could_read("facts"):
        return
    milestones = scene.milestone_names if scene.script.could_read("milestones") else None
    for holder, signal in signals(scene):
        problems = [*check_signal(signal, scene.facts, milestones)]
        for problem in problems:
            yield holder.fault("signal", problem.message, problem.mend, problem.offset)
        if problems:
            continue
        span = strengths(signal.root, scene.facts)
        if span.least > FULL_SIGNAL or span.most < NO_SIGNAL:
            side = f"above {FULL_SIGNAL:g}" if span.least > FULL_SIGNAL else f"below {NO_SIGNAL:g}"
            message = f"This signal is always {side}."
            yield holder.fault(
                "signal", message, f"Strength goes from {NO_SIGNAL:g} to {FULL_SIGNAL:g}."
            )


def reception_advice(scene: Scene) -> Iterator[Fault]:
    """Signals that leave the scale in part of their course, where they stay at its end."""
    for holder, signal in signals(scene):
        span = strengths(signal.root, scene.facts)
        if FULL_SIGNAL < span.most < inf:
            yield holder.fault(
                "signal",
                f"This signal may come to {span.most:g}; above {FULL_SIGNAL:g} it changes nothing.",
                f"Strength goes from {NO_SIGNAL:g} to {FULL_SIGNAL:g}: let it come to no more.",
            )
        if -inf < span.least < NO_SIGNAL:
            yield holder.fault(
                "signal",
                f"This signal may fall to {span.least:g}; below {NO_SIGNAL:g} it changes nothing.",
                f"Strength goes from {NO_SIGNAL:g} to {FULL_SIGNAL:g}: let it fall to no less.",
            )


def _clue_faults(
    parts: Iterable[Written[Item]], usual: float | None, scene: Scene
) -> Iterator[Fault]:
    """Clues that are asked to be less readable than the floor; `usual`: what holds around them."""
    for part in parts:
        if part.form.clue:
            for heard in variants(part) or (part,):
                yield from _floor_faults(heard, part, usual, scene)


def _floor_faults(
    heard: Written[Item], clue: Written[Item], usual: float | None, scene: Scene
) -> Iterator[Fault]:
    floor = scene.script.form.clue_floor
    wanted = heard.form.readability or usual
    if wanted is None or wanted >= floor or not heard.form.sounds:
        return
    part, key = (heard, "readability") if heard.form.readability else (clue, "clue")
    yield part.fault(
        key,
        f"This clue has a readability of {wanted:g}, and the clue floor is {floor:g}.",
        f"Make it {floor:g} or more, or lower `clue floor`.",
    )
