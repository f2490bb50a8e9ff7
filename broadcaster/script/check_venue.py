"""What is wrong between the sections of a venue's settings, and between them and the script."""

from collections.abc import Iterator, Mapping
from typing import TYPE_CHECKING

from broadcaster.errors import Fault
from broadcaster.script.facts import Fact
from broadcaster.script.names import clipped, known_names
from broadcaster.script.programme import Programme
from broadcaster.script.scene import Written
from broadcaster.script.tree import Mapping as Keys
from broadcaster.script.tree import Node

if TYPE_CHECKING:
    from broadcaster.script.venue_settings import FactSettings, VenueSettings


def lamp_faults(settings: "VenueSettings", tree: Keys) -> Iterator[Fault]:
    """A lamp that would be driven by what is not there."""
    node = tree.values.get("lamp")
    if settings.lamp is None or not isinstance(node, Keys):
        return
    lamp = Written(settings.lamp, node)
    if not settings.lamp.over and lamp.could_read("over"):
        yield lamp.fault("over", "Nothing drives the lamp.", "Write `over: [serial]`.")
    for number, way in enumerate(settings.lamp.over):
        place = lamp.place_under("over", number)
        if way == "pins":
            if settings.lamp.pin is None and lamp.could_read("pin"):
                yield Fault(place, "Which pin drives the lamp is not told.", "Add `pin: 17`.")
        elif getattr(settings, way) is None and way not in tree.left_out:
            yield Fault(place, f"There is no `{way}` in this file.", f"Add `{way}:`.")


def fact_faults(
    facts: Mapping[str, "FactSettings"], node: Node | None, programme: Programme
) -> Iterator[Fault]:
    """Facts that the script does not know, and settings that do not fit what they hold."""
    if not isinstance(node, Keys):
        return
    outside: dict[str, str] = {}
    for name, form in facts.items():
        fact, below = programme.facts.get(name), node.values[name]
        if fact is None:
            known = known_names(name, programme.facts)
            yield Fault(node.keys[name].place, f"There is no fact {clipped(name)}.", known)
        elif isinstance(below, Keys):
            written = Written(form, below)
            yield from _unfit_settings(written, fact)
            called = form.named or name
            if called in outside:
                yield written.fault(
                    "named", f"`{outside[called]}` is called the same.", "Take another name."
                )
            outside[called] = name
            if called != name and called in programme.facts:
                yield written.fault(
                    "named", f"{clipped(called)} is a fact of the script.", "Take another name."
                )


def _unfit_settings(written: "Written[FactSettings]", fact: Fact) -> Iterator[Fault]:
    for key, kind in (("inverted", "a yes or no"), ("from", "a number"), ("to", "a number")):
        if key in written and fact.kind != kind:
            yield Fault(
                written.node.keys[key].place, f"This fact is {fact.kind}.", f"Take `{key}` out."
            )
    low, high = written.form.from_, written.form.to
    if low is not None and high is not None and low > high:
        yield written.fault("to", f"This is below `from`, which is {low}.", "Swap the two.")
