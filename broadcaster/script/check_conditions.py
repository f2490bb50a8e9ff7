"""Whether conditions and texts speak of what exists, compare like with like, and can hold."""

from collections.abc import Iterator
from typing import TypeAlias

from broadcaster.errors import Fault, UnreadableError
from broadcaster.script.condition_range import impossible, outcomes
from broadcaster.script.condition_tree import Expression, facts_in
from broadcaster.script.condition_types import check_condition
from broadcaster.script.names import clipped, known_names
from broadcaster.script.programme import Exit, Item, Milestone, Morse, Spell, copy_of
from broadcaster.script.scene import Scene, Written
from broadcaster.script.signs import keyed, spelled
from broadcaster.script.template import TIMES, Template, parse_template

Part: TypeAlias = Written[Item] | Written[Exit] | Written[Milestone]


def condition_faults(scene: Scene) -> Iterator[Fault]:
    """Conditions and texts that name what does not exist or make no sense, or can never hold."""
    if not scene.script.could_read("facts"):
        return
    milestones = scene.milestone_names if scene.script.could_read("milestones") else None
    for part, condition in conditions(scene):
        problems = [*check_condition(condition, scene.facts, milestones)]
        for problem in problems:
            yield part.fault("when", problem.message, problem.mend, problem.offset)
        if not problems and not isinstance(part.form, Item):
            yield from _never(part, condition, scene)
    for item in scene.items():
        yield from _text_faults(item, scene)


def condition_advice(scene: Scene) -> Iterator[Fault]:
    """Items that never go out; someone may have turned them off on purpose."""
    for part, condition in conditions(scene):
        if isinstance(part.form, Item):
            yield from _never(part, condition, scene)


def conditions(scene: Scene) -> Iterator[tuple[Part, Expression]]:
    """Every condition, and what it stands in."""
    parts: list[Part] = [*scene.items(), *(each.written for each in scene.milestones)]
    parts += [way for segment in scene.segments for way in segment.exits]
    for part in parts:
        if part.form.when:
            yield part, part.form.when


def _never(part: Part, condition: Expression, scene: Scene) -> Iterator[Fault]:
    if True in outcomes(condition.root, scene.facts):
        return
    culprit = next(impossible(condition.root, scene.facts), condition.root)
    bounded = {name: scene.facts[name] for name in sorted(facts_in(culprit))}
    bounds = [f"`{name}` goes {fact.bounds}." for name, fact in bounded.items() if fact]
    mend = " ".join(bounds) or "Mend it, or take it out."
    yield part.fault("when", "This can never hold.", mend, culprit.offset)


def _text_faults(part: Written[Item], scene: Scene) -> Iterator[Fault]:
    text = copy_of(part.form)
    if not isinstance(text, Template):
        return
    for value in text.facts:
        if value.name not in scene.facts:
            message = f"There is no fact {clipped(value.name)}."
            mend = known_names(value.name, (*scene.facts, *TIMES))
            yield part.fault(part.form.kind, message, mend, value.offset)
            continue
        fact = scene.facts[value.name]
        for name in fact.one_of if fact else ():
            if not _can_carry(part.form, name):
                yield part.fault(
                    part.form.kind,
                    f"`{value.name}` may be {clipped(name)}, which cannot go out like this.",
                    "Use `say`, or give that name other letters.",
                    value.offset,
                )


def _can_carry(item: Item, name: str) -> bool:
    """Whether an item's alphabet has all the characters of a name."""
    try:
        match item:
            case Morse():
                keyed(parse_template(name))
            case Spell():
                spelled(parse_template(name))
    except UnreadableError:
        return False
    return True
