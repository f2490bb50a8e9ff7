"""Whether items stand where they can, with options that mean something there."""

from collections.abc import Iterable, Iterator, Mapping

from broadcaster.errors import Fault
from broadcaster.script.programme import Choose, Item
from broadcaster.script.scene import Scene, Written, variants

_TIMETABLE = {"every": "Take it out: a timetable has no rounds; each entry says when it is due."}
_HINT = {
    "every": "Take it out: a hint goes out when it is asked for, whatever the round.",
    "once": "Take it out: each hint is given once in any case.",
}
_VARIANT = dict.fromkeys(
    ("when", "once", "every", "times", "clue", "within"),
    "Write it beside `choose`: it is for all the variants.",
)
"""Options that mean nothing in a place, and what to do about it."""


def item_faults(scene: Scene) -> Iterator[Fault]:
    """Options and items out of place, and a `choose` without a choice."""
    for segment in scene.segments:
        yield from _faults(segment.items, {})
        yield from _faults(segment.hints, _HINT)
    for entry in scene.timetable:
        yield from _faults(entry.parts("play", entry.form.play), _TIMETABLE)


def _faults(parts: Iterable[Written[Item]], meaningless: Mapping[str, str]) -> Iterator[Fault]:
    for part in parts:
        yield from _option_faults(part, meaningless)
        if isinstance(part.form, Choose):
            yield from _choice_faults(part.form, part)


def _option_faults(part: Written[Item], meaningless: Mapping[str, str]) -> Iterator[Fault]:
    for option, mend in meaningless.items():
        if option in part:
            message = f"`{option}` means nothing here."
            yield Fault(part.node.keys[option].place, message, mend)
    if "within" in part and "clue" not in part and part.could_read("clue"):
        yield Fault(
            part.node.keys["within"].place,
            "`within` is for a clue, and this item is none.",
            "Add `clue`, or take `within` out.",
        )


def _choice_faults(item: Choose, part: Written[Item]) -> Iterator[Fault]:
    if len(item.choose) < 2 and part.could_read("choose"):
        count = "only one item" if item.choose else "nothing"
        yield part.fault("choose", f"There is {count} to choose from.", "Write two or more.")
    for variant in variants(part):
        yield from _option_faults(variant, _VARIANT)
