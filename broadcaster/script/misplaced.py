"""Keys of a segment that stand beside it, where segments' names should be, put where they belong.

So one slip of indentation is one fault, and what is written in the wrong place is checked too.
"""

from broadcaster.errors import Fault
from broadcaster.script.annotations import fields
from broadcaster.script.names import listed
from broadcaster.script.programme import Segment
from broadcaster.script.tree import Mapping, Node, Scalar


def put_under_segments(tree: Node) -> list[Fault]:
    """Move what is a segment's into the segment above it; one fault for each such segment.

    A segment may have any name: what tells a key from it is that no set of keys stands behind it.
    """
    segments = tree.values.get("segments") if isinstance(tree, Mapping) else None
    if not isinstance(segments, Mapping):
        return []
    astray: dict[str, list[str]] = {}
    above = ""
    for name, node in segments.values.items():
        if isinstance(node, Mapping) or name not in fields(Segment):
            above = name
        elif above and name not in _keys_of(segments.values[above]):
            astray.setdefault(above, []).append(name)
    return [_move(keys, name, segments) for name, keys in astray.items()]


def _keys_of(segment: Node) -> set[str]:
    return {*segment.keys, *segment.left_out} if isinstance(segment, Mapping) else set()


def _move(keys: list[str], name: str, segments: Mapping) -> Fault:
    """Put the keys into the segment of this name; one without anything in it begins with them."""
    place = segments.keys[keys[0]].place
    segment = segments.values[name]
    if isinstance(segment, Scalar) and not segment.text:
        segment = segments.values[name] = Mapping(segment.place)
    for key in keys:
        written, node = segments.keys.pop(key), segments.values.pop(key)
        if isinstance(segment, Mapping):
            segment.keys[key], segment.values[key] = written, node
    stand, them = ("stands", "it") if len(keys) == 1 else ("stand", "them")
    return Fault(
        place,
        f"{listed(keys)} {stand} where the name of a segment should be.",
        f"Indent {them} under `{name}`, the segment above.",
    )
