"""Whether facts are named as they can be, and conditions and texts speak of facts that exist."""

import re
from collections.abc import Iterator

from broadcaster.errors import Fault
from broadcaster.script.condition_tree import Both, Comparison, Either, FactName, Node, Not, Sum
from broadcaster.script.condition_types import check_condition
from broadcaster.script.conditions import RESERVED
from broadcaster.script.names import clipped, known_names
from broadcaster.script.programme import Exit, Item, copy_of
from broadcaster.script.scene import Scene, Written
from broadcaster.script.template import Template

_FACT_NAME = re.compile(r"[A-Za-z_][A-Za-z0-9_]*")


def fact_faults(scene: Scene) -> Iterator[Fault]:
    """Names that no condition could use, unknown facts, and conditions that make no sense."""
    yield from _name_faults(scene)
    if not scene.script.could_read("facts"):
        return
    for part in _parts(scene):
        if part.form.when:
            for problem in check_condition(part.form.when, scene.facts):
                yield part.fault("when", problem.message, problem.mend, problem.offset)
        if isinstance(part.form, Item):
            yield from _text_faults(part.form, part, scene)


def _name_faults(scene: Scene) -> Iterator[Fault]:
    for name in scene.script.form.facts:
        if not _FACT_NAME.fullmatch(name):
            yield Fault(
                scene.fact_place(name),
                f"A fact cannot be called {clipped(name)}.",
                "Use letters A to Z, figures and `_`, and begin with a letter: `lamp_lit`.",
            )
        elif name in RESERVED:
            yield Fault(
                scene.fact_place(name),
                f"A fact cannot be called `{name}`: the word has its own meaning in conditions.",
                "Give it another name.",
            )


def _text_faults(item: Item, part: Written[Item], scene: Scene) -> Iterator[Fault]:
    text = copy_of(item)
    if isinstance(text, Template):
        for fact in text.facts:
            if fact.name not in scene.facts:
                yield part.fault(
                    item.kind,
                    f"There is no fact {clipped(fact.name)}.",
                    known_names(fact.name, scene.facts),
                    fact.offset,
                )


def fact_advice(scene: Scene) -> Iterator[Fault]:
    """Facts that nothing in a script without faults asks for."""
    used: set[str] = set()
    for part in _parts(scene):
        if part.form.when:
            used |= _facts_in(part.form.when.root)
        text = copy_of(part.form) if isinstance(part.form, Item) else None
        if isinstance(text, Template):
            used |= {fact.name for fact in text.facts}
    for name in scene.script.form.facts:
        if name not in used:
            yield Fault(
                scene.fact_place(name),
                f"The fact `{name}` is never used.",
                "Use it in a `when` or a text, or take it out.",
            )


def _parts(scene: Scene) -> Iterator[Written[Item] | Written[Exit]]:
    """Everything that can have a condition."""
    for segment in scene.segments:
        yield from segment.items
        yield from segment.exits


def _facts_in(node: Node) -> set[str]:
    match node:
        case FactName(name):
            return {name}
        case Not(operand):
            return _facts_in(operand)
        case Both() | Either() | Comparison() | Sum():
            return _facts_in(node.left) | _facts_in(node.right)
        case _:
            return set()
