"""Whether the story always goes on: where exits lead, what is never reached, what falls silent."""

from collections.abc import Iterator
from itertools import chain

from broadcaster.errors import Fault
from broadcaster.script.conditions import YesNoLiteral
from broadcaster.script.names import clipped, known_names
from broadcaster.script.programme import END, Exit, Item, SetFacts
from broadcaster.script.scene import Scene, Written, WrittenSegment


def flow_faults(scene: Scene) -> Iterator[Fault]:
    """Segments that lead nowhere, hold nothing, or end in silence."""
    if "segments" not in scene.script:
        return
    opening = scene.script.form.opening
    if "opening" in scene.script and opening not in scene.segment_names:
        yield scene.script.fault(
            "opening",
            f"There is no segment {clipped(opening)}.",
            known_names(opening, scene.segment_names),
        )
    for segment in scene.segments:
        yield from _segment_faults(segment, scene)


def _segment_faults(segment: WrittenSegment, scene: Scene) -> Iterator[Fault]:
    if segment.name == END:
        yield Fault(
            segment.key,
            f"A segment cannot be called `{END}`.",
            f"Give it another name; `to: {END}` ends the session.",
        )
    if not segment.items and segment.written.could_read("play"):
        yield segment.written.fault("play", f"`{segment.name}` has nothing in it.", "Add an item.")
    yield from _hint_faults(segment)
    yield from _exit_faults(segment, scene)
    if not (
        segment.written.form.repeat
        or any(map(_is_sure, segment.exits))
        or _may_have_lost_an_exit(segment)
    ):
        yield Fault(
            segment.key,
            f"`{segment.name}` can end in silence: it does not repeat and no exit surely holds.",
            "Add `repeat: yes`, or a last exit without `when`.",
        )


def _hint_faults(segment: WrittenSegment) -> Iterator[Fault]:
    written = segment.written
    if segment.hints or not written.could_read("hints"):
        return
    if "hints" in written:
        yield written.fault("hints", f"`{segment.name}` has a ladder without rungs.", "Add a hint.")
    elif written.form.automatic_hints:
        yield written.fault(
            "automatic hints", f"`{segment.name}` has no hints to give.", "Add `hints`."
        )


def _exit_faults(segment: WrittenSegment, scene: Scene) -> Iterator[Fault]:
    shadowed = False
    for way in segment.exits:
        to = way.form.to
        if to not in scene.segment_names and to != END:
            known = known_names(to, chain([END], scene.segment_names))
            yield way.fault("to", f"There is no segment {clipped(to)}.", known)
        if shadowed and not way.form.at_once:
            yield Fault(
                way.place(),
                "This exit is never taken: one above it always holds.",
                "Move it up, or give the one above a `when`.",
            )
        if _is_sure(way) and way.form.at_once:
            yield way.fault(
                "at once",
                f"This exit always holds, and at once: nothing of `{segment.name}` goes out.",
                "Give it a `when`, or take `at once` out.",
            )
        shadowed = shadowed or _is_sure(way)


def _is_sure(way: Written[Exit]) -> bool:
    """Whether an exit is known to hold always."""
    when = way.form.when
    return way.could_read("when") and (when is None or when.root == YesNoLiteral(value=True))


def _may_have_lost_an_exit(segment: WrittenSegment) -> bool:
    """Whether something faulty was left out that may have been a way on."""
    return (
        bool(segment.written.node.left_out)
        or not segment.written.could_read("exits")
        or not all(way.could_read("when") for way in segment.exits)
    )


def flow_advice(scene: Scene) -> Iterator[Fault]:
    """What may be meant as it is, in a script without faults."""
    reached = _reached(scene)
    for segment in scene.segments:
        if segment.name not in reached:
            yield Fault(
                segment.key,
                f"No exit leads to `{segment.name}`: only the operator can put it on air.",
                "If that is not meant, add an exit to it.",
            )
        if segment.written.form.repeat and any(map(_is_sure, segment.exits)):
            yield segment.written.fault(
                "repeat",
                f"`{segment.name}` never repeats: one of its exits always holds.",
                "Give that exit a `when`, or take `repeat` out.",
            )
        if not any(_always_heard(item.form) for item in segment.items):
            yield segment.written.fault(
                "play",
                f"No item of `{segment.name}` goes out each round: it may have nothing to send.",
                "Add an item without `when`, `once` and `every`, if only a `pause`.",
            )


def _always_heard(item: Item) -> bool:
    """Whether an item is heard in every round."""
    return not (item.when or item.once or item.every or isinstance(item, SetFacts))


def _reached(scene: Scene) -> set[str]:
    """The segments that the story comes to by itself."""
    ways = {segment.name: [way.form.to for way in segment.exits] for segment in scene.segments}
    reached: set[str] = set()
    ahead = [scene.script.form.opening]
    ahead += [entry.form.segment for entry in scene.timetable if entry.form.segment]
    while ahead:
        name = ahead.pop()
        if name in ways and name not in reached:
            reached.add(name)
            ahead += ways[name]
    return reached
