"""Whether the story always goes on: where exits lead, what is never reached, what falls silent."""

from collections.abc import Iterator
from itertools import chain

from broadcaster.errors import Fault
from broadcaster.script.conditions import YesNoLiteral
from broadcaster.script.names import clipped, known_names
from broadcaster.script.programme import END, Exit
from broadcaster.script.scene import Scene, WrittenSegment


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
    for way in segment.exits:
        if way.form.to not in scene.segment_names and way.form.to != END:
            yield way.fault(
                "to",
                f"There is no segment {clipped(way.form.to)}.",
                known_names(way.form.to, chain([END], scene.segment_names)),
            )
    sure = next((place for place, way in enumerate(segment.exits) if _is_sure(way.form)), None)
    if sure is not None:
        for way in segment.exits[sure + 1 :]:
            yield Fault(
                way.place(),
                "This exit is never taken: one above it always holds.",
                "Move it up, or give the one above a `when`.",
            )
    elif not segment.written.form.repeat and _exits_are_whole(segment):
        yield Fault(
            segment.key,
            f"`{segment.name}` can end in silence: it does not repeat and no exit surely holds.",
            "Add `repeat: yes`, or a last exit without `when`.",
        )


def _is_sure(way: Exit) -> bool:
    """Whether an exit always holds."""
    return way.when is None or way.when.root == YesNoLiteral(value=True)


def _exits_are_whole(segment: WrittenSegment) -> bool:
    """Whether all that the writer wrote of ways on could be read; else silence is not proven."""
    return not segment.written.node.left_out and segment.written.could_read("exits")


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
        if segment.written.form.repeat and any(_is_sure(way.form) for way in segment.exits):
            yield segment.written.fault(
                "repeat",
                f"`{segment.name}` never repeats: one of its exits always holds.",
                "Give that exit a `when`, or take `repeat` out.",
            )
        if all(item.form.when for item in segment.items):
            yield segment.written.fault(
                "play",
                f"Every item of `{segment.name}` has a `when`: it may have nothing to send.",
                "Add an item without `when`, if only a `pause`.",
            )


def _reached(scene: Scene) -> set[str]:
    """The segments that the story comes to by itself."""
    ways = {segment.name: [way.form.to for way in segment.exits] for segment in scene.segments}
    reached: set[str] = set()
    ahead = [scene.script.form.opening]
    while ahead:
        name = ahead.pop()
        if name in ways and name not in reached:
            reached.add(name)
            ahead += ways[name]
    return reached
