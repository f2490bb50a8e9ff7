"""A tree of text becomes a Form. Every fault is found in one pass, each at its place.

pydantic checks; the words are wording.py's. What is faulty is taken out of the tree and the rest is
built, so that its meaning can be checked all the same.
"""

from collections.abc import Mapping as AnyMapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Generic, TypeVar

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from broadcaster.errors import Fault
from broadcaster.script.annotations import kinds
from broadcaster.script.forms import Form
from broadcaster.script.spots import Finder, Spot, take_out
from broadcaster.script.tree import Mapping, Node, Scalar, Sequence
from broadcaster.script.wording import fault_of

F = TypeVar("F", bound=Form)

MOST_FAULTS = 500
"""Beyond so many, something larger is wrong, and more words would not help."""

_NONE: AnyMapping[str, object] = MappingProxyType({})


@dataclass(frozen=True, slots=True)
class Built(Generic[F]):
    """What became of a tree: the form, if enough of it could be built, and the faults."""

    form: F | None
    faults: tuple[Fault, ...]


def build(
    tree: Node, form: type[F], name: str = "", stand_ins: AnyMapping[str, object] = _NONE
) -> Built[F]:
    """Build a form from a tree, out of which all that is faulty is taken.

    The name is that of the whole in a sentence; without one it is "the file".

    A stand-in takes the place of a key of the outermost mapping that is missing or faulty, so that
    a form can be built for further checks; its faults say that it is none to go on air with.
    """
    root = Spot(form, tree, step=name)
    faults: list[Fault] = []
    filled_in: dict[str, object] = {}
    while True:
        written = _plain(tree)
        if isinstance(written, dict):
            written = filled_in | written
        try:
            built = form.model_validate(written, by_alias=True, by_name=False)
        except ValidationError as error:
            finder = Finder(root)
            found = [(each, finder.find(each["loc"])) for each in error.errors(include_url=False)]
        else:
            return Built(built, tuple(faults))
        own = [(each, spot) for each, spot in found if not _follows(each, spot)]
        faults += [fault_of(each, spot) for each, spot in own[:MOST_FAULTS]]
        if len(own) > MOST_FAULTS:
            more = f"There are {len(own) - MOST_FAULTS} more faults like these."
            faults.append(Fault(own[MOST_FAULTS][1].node.place, more, "Mend the first ones."))
        lacking = {_lacking_key(each) for each, spot in found if spot is root}
        if not lacking <= stand_ins.keys() - filled_in.keys():
            return Built(None, tuple(faults))
        filled_in |= {key: stand_ins[key] for key in lacking}
        if isinstance(tree, Mapping):
            tree.left_out |= lacking
        take_out(spot for _, spot in found if spot is not root)


def _lacking_key(error: ErrorDetails) -> str:
    """The key that the outermost mapping lacks; none where something else is wrong with it."""
    return str(error["loc"][0]) if error["type"] == "missing" else ""


def _follows(error: ErrorDetails, spot: Spot) -> bool:
    """Whether the error is only there because something faulty was taken out."""
    if not isinstance(spot.node, Mapping) or not spot.node.left_out:
        return False
    if error["type"] == "missing":
        return error["loc"][-1] in spot.node.left_out
    return error["type"] == "value_error" or bool(kinds(spot.wanted))


def _plain(node: Node) -> object:
    match node:
        case Scalar():
            return node.text
        case Sequence():
            return [_plain(item) for item in node.items]
        case Mapping():
            return {key: _plain(value) for key, value in node.values.items()}
