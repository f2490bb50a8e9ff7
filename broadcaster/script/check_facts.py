"""Whether facts are declared as they can be, used, and set to what they can hold."""

import re
from collections.abc import Iterator

from broadcaster.errors import Fault, Place
from broadcaster.script.check_conditions import conditions
from broadcaster.script.check_reception import signals
from broadcaster.script.condition_tree import RESERVED, facts_in
from broadcaster.script.facts import FACT_NAME, HELD_NAME, Fact, no_value, usable_name
from broadcaster.script.names import clipped, known_names
from broadcaster.script.programme import Item, SetFacts, copy_of
from broadcaster.script.scene import Scene, Written
from broadcaster.script.template import TIMES, Template
from broadcaster.script.tree import Mapping


def fact_faults(scene: Scene) -> Iterator[Fault]:
    """Facts whose name or values cannot be used, and values that they cannot hold."""
    for name, fact in scene.script.form.facts.items():
        yield from _name_faults(name, scene.key_place("facts", name))
        node = _declaration(scene, name)
        if node and not node.left_out:
            yield from _declaration_faults(Written(fact, node))
    if scene.script.could_read("facts"):
        for part in scene.items():
            if isinstance(part.form, SetFacts):
                yield from _set_faults(part.form, part, scene)


def _name_faults(name: str, place: Place) -> Iterator[Fault]:
    if name in RESERVED or name in TIMES:
        where = "conditions" if name in RESERVED else "texts"
        yield Fault(
            place,
            f"A fact cannot be called `{name}`: the word has its own meaning in {where}.",
            "Give it another name.",
        )
    elif not re.fullmatch(FACT_NAME, name):
        near = usable_name(name)
        example = "lamp_lit" if near == name else near
        yield Fault(
            place,
            f"A fact cannot be called {clipped(name)}.",
            f"Use letters A to Z, figures and `_`, and begin with a letter: {clipped(example)}.",
        )


def _declaration(scene: Scene, name: str) -> Mapping | None:
    """The long form in which a fact is declared, if it is."""
    facts = scene.script.node.values["facts"]
    node = facts.values[name] if isinstance(facts, Mapping) else None
    return node if isinstance(node, Mapping) else None


def _declaration_faults(part: Written[Fact]) -> Iterator[Fault]:
    fact = part.form
    if "one of" in part:
        yield from _list_faults(part)
    elif isinstance(fact.at_first, str) and part.could_read("one of"):
        unknown = no_value(fact.at_first)
        yield part.fault("at first", unknown.message, unknown.mend)
        return
    for bound in ("from", "to"):
        if bound in part and fact.kind != "a number":
            yield part.fault(
                bound,
                f"Only a number has bounds; this fact is {fact.kind}.",
                f"Take `{bound}` out.",
            )
            return
    if fact.from_ is not None and fact.to is not None and fact.from_ >= fact.to:
        yield part.fault("to", "`to` is not more than `from`.", "A fact must be able to change.")
    elif refusal := fact.refusal(fact.at_first):
        yield part.fault("at first", *refusal)


def _list_faults(part: Written[Fact]) -> Iterator[Fault]:
    names = part.form.one_of
    for number, name in enumerate(names):
        place = part.place_under("one of", number)
        if not re.fullmatch(HELD_NAME, name) or name in ("yes", "no"):
            yield Fault(
                place,
                f"A fact cannot hold the name {clipped(name)}.",
                "Use letters, figures, spaces, `-` and `_`, begin with a letter,"
                " and leave `yes` and `no` to facts without a list.",
            )
        elif name in names[:number]:
            yield Fault(place, f"{clipped(name)} is listed twice.", "Take one out.")
    if len(names) < 2:
        yield part.fault("one of", "A fact needs two names or more.", "Add one.")


def _set_faults(item: SetFacts, part: Written[Item], scene: Scene) -> Iterator[Fault]:
    node = part.node.values["set"]
    if not isinstance(node, Mapping):
        return
    if not node.keys and not node.left_out:
        yield part.fault("set", "`set` changes nothing.", "Write `set: {fact: value}`.")
    for name, value in item.set.items():
        fact = scene.facts.get(name)
        if name not in scene.facts:
            message = f"There is no fact {clipped(name)}."
            yield Fault(node.keys[name].place, message, known_names(name, scene.facts))
        elif fact and (refusal := fact.refusal(value)):
            message, mend = refusal
            yield Fault(node.values[name].place, f"`{name}` cannot be set: {message}", mend)
        elif fact and fact.stays and value == fact.at_first:
            yield Fault(
                node.values[name].place,
                f"`{name}` stays once it has changed, and this sets it back.",
                "Take `stays: yes` from the fact, or take this out.",
            )


def fact_advice(scene: Scene) -> Iterator[Fault]:
    """Facts that nothing in a script without faults asks for."""
    used: set[str] = set()
    for _, expression in (*conditions(scene), *signals(scene)):
        used |= facts_in(expression.root)
    for part in scene.items():
        text = copy_of(part.form)
        if isinstance(text, Template):
            used |= {value.name for value in text.facts}
    for name in scene.script.form.facts:
        if name not in used:
            yield Fault(
                scene.key_place("facts", name),
                f"The fact `{name}` is never used.",
                "Use it in a `when`, a `signal` or a text, or take it out.",
            )
