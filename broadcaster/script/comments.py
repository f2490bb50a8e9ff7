"""Comments that may be meant as words: `say: It is no #1 place` sends `It is no`."""

from collections.abc import Iterator

from broadcaster.errors import Fault
from broadcaster.script.tree import Mapping, Node, Scalar, Sequence

_TEXTS = frozenset(
    ("say", "spell", "morse", "groups", "interval signal", "clue", "about", "programme", "callsign")
)
"""Keys behind which stands what is heard or shown."""


def comment_advice(node: Node) -> Iterator[Fault]:
    """Each comment that follows a text as closely as a word of it would."""
    match node:
        case Mapping(values=values):
            for key, value in values.items():
                if key in _TEXTS and isinstance(value, Scalar) and value.comment:
                    yield Fault(
                        value.comment,
                        "What stands behind ` #` is a comment, and is not sent.",
                        "Put the text in quotes if it belongs to it.",
                    )
                yield from comment_advice(value)
        case Sequence(items=items):
            for item in items:
                yield from comment_advice(item)
