"""Whether conditions and texts speak of what exists, compare like with like, and can hold."""

from collections.abc import Iterator
from typing import TypeAlias

from broadcaster.errors import Fault
from broadcaster.script.condition_tree import Expression
from broadcaster.script.condition_types import check_condition
from broadcaster.script.names import clipped, known_names
from broadcaster.script.programme import Exit, Item, Milestone, copy_of
from broadcaster.script.scene import Scene, Written
from broadcaster.script.template import TIMES, Template

Part: TypeAlias = Written[Item] | Written[Exit] | Written[Milestone]


def condition_faults(scene: Scene) -> Iterator[Fault]:
    """Conditions and texts that name what does not exist, and conditions that make no sense."""
    if not scene.script.could_read("facts"):
        return
    milestones = scene.milestone_names if scene.script.could_read("milestones") else None
    for part, condition in conditions(scene):
        for problem in check_condition(condition, scene.facts, milestones):
            yield part.fault("when", problem.message, problem.mend, problem.offset)
    for item in scene.items():
        yield from _text_faults(item, scene)


def conditions(scene: Scene) -> Iterator[tuple[Part, Expression]]:
    """Every condition, and what it stands in."""
    parts: list[Part] = [*scene.items(), *(each.written for each in scene.milestones)]
    parts += [way for segment in scene.segments for way in segment.exits]
    for part in parts:
        if part.form.when:
            yield part, part.form.when


def _text_faults(part: Written[Item], scene: Scene) -> Iterator[Fault]:
    text = copy_of(part.form)
    if isinstance(text, Template):
        for value in text.facts:
            if value.name not in scene.facts:
                yield part.fault(
                    part.form.kind,
                    f"There is no fact {clipped(value.name)}.",
                    known_names(value.name, (*scene.facts, *TIMES)),
                    value.offset,
                )
