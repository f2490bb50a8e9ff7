"""Whether items stand where they can, with options that mean something there."""

from collections.abc import Iterable, Iterator, Mapping

from broadcaster.errors import Fault
from broadcaster.script.programme import Choose, Item, SetFacts
from broadcaster.script.scene import Scene, Written, variants

_TIMETABLE = {"every": "A timetable has no rounds: the entry says when its items go out."}
_HINT = {
    "every": "A hint belongs to no round: it goes out when it is asked for.",
    "once": "A hint is given once in any case.",
}
_VARIANT = dict.fromkeys(
    ("when", "once", "every", "times", "clue", "within"),
    "It belongs to all the variants: write it beside `choose`.",
)
"""Options that mean nothing in a place, and why."""


def item_faults(scene: Scene) -> Iterator[Fault]:
    """Options and items out of place, and a `choose` without a choice."""
    for segment in scene.segments:
        yield from _faults(segment.items, {})
        yield from _faults(segment.hints, _HINT)
        for hint in segment.hints:
            if isinstance(hint.form, SetFacts):
                message = "A hint is something to be heard; `set` is not."
                yield Fault(hint.place(), message, "Begin with `say`, or move it to `play`.")
    for entry in scene.timetable:
        yield from _faults(entry.parts("play", entry.form.play), _TIMETABLE)


def _faults(parts: Iterable[Written[Item]], meaningless: Mapping[str, str]) -> Iterator[Fault]:
    for part in parts:
        yield from _option_faults(part, meaningless)
        if isinstance(part.form, Choose):
            yield from _choice_faults(part.form, part)


def _option_faults(part: Written[Item], meaningless: Mapping[str, str]) -> Iterator[Fault]:
    for option, why in meaningless.items():
        if option in part:
            yield Fault(
                part.node.keys[option].place,
                f"`{option}` means nothing here. {why}",
                "Take it out.",
            )
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
        if isinstance(variant.form, SetFacts | Choose):
            yield Fault(
                variant.place(),
                f"`{variant.form.kind}` cannot be a variant.",
                "Choose among items that are heard.",
            )
        else:
            yield from _option_faults(variant, _VARIANT)
