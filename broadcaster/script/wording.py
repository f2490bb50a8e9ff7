"""What is wrong at a spot, in a writer's words."""

from collections.abc import Mapping as AnyMapping
from typing import Literal, get_args

from pydantic import TypeAdapter, ValidationError
from pydantic_core import ErrorDetails

from broadcaster.errors import Fault, Place, UnreadableError
from broadcaster.script.annotations import (
    Wanted,
    all_marks,
    fields,
    inside,
    kinds,
    opened,
    origin_of,
)
from broadcaster.script.forms import Form
from broadcaster.script.meant import written_as
from broadcaster.script.names import clipped, known_names, listed
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import ITEM_KINDS, Programme, Segment, Station
from broadcaster.script.quotes import in_quotes
from broadcaster.script.sounds import AnyProcessor
from broadcaster.script.spots import Spot
from broadcaster.script.tree import Mapping, Scalar, Sequence
from broadcaster.script.values import Unit
from broadcaster.script.yaml_errors import lacks_space, missing_space

_KEY = "[key]"
"""The last step of pydantic's location, where a key is wrong."""

_LOWER = {"ge": "from {}", "gt": "above {}"}
_UPPER = {"le": "up to {}", "lt": "below {}"}
_OUT_OF_RANGE = ("greater_than", "greater_than_equal", "less_than", "less_than_equal")

KEYS, LIST, SINGLE = "a set of keys", "a list", "a single value"
"""What can stand behind a key."""
_SHAPES = {Mapping: KEYS, Sequence: LIST, Scalar: SINGLE}
_WANTED_SHAPES = {"model_type": KEYS, "dict_type": KEYS, "tuple_type": LIST, "list_type": LIST}
_HOW_TO_WRITE = {
    KEYS: "Write its keys below it, indented, each as `key: value`.",
    LIST: "Write its entries below it, each on a line that begins with `- `.",
    SINGLE: "Write it on the line of its key.",
}


_HOMES: AnyMapping[type[Form], str] = {
    Programme: "at the top of the script, without indentation",
    Station: "under `station`",
    Segment: "under a segment",
    VoiceProfile: "in the file of a voice",
}
"""The larger forms, and where what they hold is written."""


def fault_of(error: ErrorDetails, spot: Spot) -> Fault:
    """The fault for one of pydantic's errors at the spot to which its location leads."""
    raised = error.get("ctx", {}).get("error")
    if error["type"] == "missing":
        return _missing_key(spot, str(error["loc"][-1]))
    if error["loc"] and error["loc"][-1] == _KEY:
        return _unfit_key(spot)
    if error["type"] == "extra_forbidden":
        return _unknown_key(spot)
    if kinds(spot.wanted):
        return _unknown_kind(spot)
    if error["type"] in _WANTED_SHAPES:
        return wrong_shape(spot, _WANTED_SHAPES[error["type"]])
    if isinstance(spot.node, Scalar):
        return _unfit(spot, spot.node, error)
    if isinstance(raised, ValueError) and fields(spot.wanted):
        return Fault(spot.node.place, *_said(raised))
    return wrong_shape(spot, SINGLE)


def _missing_key(spot: Spot, key: str) -> Fault:
    choices = _choices(inside(spot.wanted, key))
    mend = f"Add `{key}: [{choices[0]}]`; it can hold {listed(choices)}." if choices else ""
    return Fault(spot.node.place, f"{_named(spot)} lacks `{key}`.", mend or f"Add `{key}: ...`.")


def _choices(wanted: Wanted) -> list[str]:
    """The words that a list can hold, where it holds only certain ones."""
    entry, _ = opened(inside(wanted, 0))
    return [str(choice) for choice in get_args(entry)] if origin_of(entry) is Literal else []


def _unknown_key(spot: Spot) -> Fault:
    holder = spot.owner or spot
    list_of_items = holder.owner.wanted if holder.owner else None
    if spot.name in kinds(inside(list_of_items, 0)):
        mend = f"Does a new item begin here? Then write `- {spot.name}: ...`."
    else:
        mend = _where_known(spot.name) or known_names(spot.name, fields(holder.wanted))
    return Fault(_key_place(spot), f"{clipped(spot.name)} is not known here.", mend)


def _where_known(key: str) -> str:
    """Where a key belongs that one of the larger forms has, and no item; nothing for any other."""
    at_home = [place for form, place in _HOMES.items() if key in fields(form)]
    lines = (*ITEM_KINDS.values(), *kinds(AnyProcessor).values())
    elsewhere = any(key in fields(form) for form in lines)
    return f"It belongs {at_home[0]}." if len(at_home) == 1 and not elsewhere else ""


def _unfit_key(spot: Spot) -> Fault:
    """A key that is none of those which the mapping wants."""
    keys, _ = opened(get_args(opened(spot.owner.wanted)[0])[0]) if spot.owner else (None, ())
    message = f"{clipped(spot.name)} is not known here."
    return Fault(_key_place(spot), message, known_names(spot.name, get_args(keys)))


def _unknown_kind(spot: Spot) -> Fault:
    known = kinds(spot.wanted)
    if not isinstance(spot.node, Mapping) or not spot.node.keys:
        found = clipped(spot.node.text) if isinstance(spot.node, Scalar) else "This"
        example = (
            spot.node.text if isinstance(spot.node, Scalar) and spot.node.text in known else ""
        )
        return Fault(
            spot.node.place,
            f"{found} cannot stand in `{spot.name}`.",
            f"Write `- {example or next(iter(known))}: ...`.",
        )
    first = next(iter(spot.node.keys.values()))
    kind = next((key for key in spot.node.keys if key in known), None)
    if kind:
        return Fault(
            first.place, f"`{first.text}` stands before `{kind}`.", f"Begin with `{kind}`."
        )
    return Fault(
        first.place,
        f"{clipped(first.text)} is not known in `{spot.name}`.",
        known_names(first.text, known, most=len(known)),
    )


def wrong_shape(spot: Spot, wanted: str) -> Fault:
    """The fault of a list where a single value should be, and the like."""
    if wanted == LIST and isinstance(spot.node, Mapping):
        for key in spot.node.keys.values():
            if lacks_space(key.text):
                return missing_space(key.place)
    mend = _HOW_TO_WRITE[wanted]
    if isinstance(spot.node, Scalar) and not spot.node.text:
        return Fault(_key_place(spot), f"Nothing stands behind {_named(spot)}.", mend)
    found = _SHAPES[type(spot.node)]
    return Fault(spot.node.place, f"{_named(spot)} is {found}, where {wanted} should be.", mend)


def _named(spot: Spot) -> str:
    if isinstance(spot.step, int):
        return f"This entry of `{spot.name}`"
    return f"`{spot.name}`" if spot.name else "The file"


def _unfit(spot: Spot, node: Scalar, error: ErrorDetails) -> Fault:
    """A single value that is not what its field wants."""
    found = clipped(node.text)
    raised = error.get("ctx", {}).get("error")
    if not node.text.strip():
        mend = _said(raised)[1] if isinstance(raised, ValueError) else ""
        return Fault(_key_place(spot), f"Nothing stands behind `{spot.name}`.", mend)
    if error["type"] in _OUT_OF_RANGE:
        return Fault(node.place, f"`{spot.name}` is {found}.", _range(spot.wanted))
    if error["type"] == "literal_error":
        choices = [str(choice) for choice in opened(spot.wanted)[0].__args__]
        return Fault(
            node.place, f"`{spot.name}` cannot be {found}.", known_names(node.text, choices)
        )
    if isinstance(raised, UnreadableError):
        mend = in_quotes(node.text, _mend(raised, spot.wanted))
        return Fault(node.place_of(raised.offset), raised.message, mend)
    if isinstance(raised, ValueError):
        return Fault(node.place, *_said(raised))
    return Fault(node.place, f"`{spot.name}` cannot be {found}: {error['msg']}.")


def _said(raised: ValueError) -> tuple[str, str]:
    """An error's sentence, and how to mend it."""
    if isinstance(raised, UnreadableError):
        return raised.message, raised.mend
    sentence = str(raised)
    return sentence[:1].upper() + sentence[1:], ""


def _key_place(spot: Spot) -> Place:
    """Where the key stands, for what is wrong with a key or with a value that is not there."""
    holder = spot.owner.node if spot.owner else None
    if isinstance(holder, Mapping) and spot.step in holder.keys:
        return holder.keys[str(spot.step)].place
    return spot.node.place


def _mend(raised: UnreadableError, wanted: Wanted) -> str:
    """The error's own mend; of the ways to write what may be meant only those within the bounds."""
    if not raised.ways:
        return raised.mend
    field: TypeAdapter[object] = TypeAdapter(wanted)
    fitting = [way for way in raised.ways if _fits(way, field)]
    return written_as(fitting) if fitting else _range(wanted) or raised.mend


def _fits(way: str, field: TypeAdapter[object]) -> bool:
    try:
        field.validate_python(way)
    except ValidationError:
        return False
    return True


def _range(wanted: Wanted) -> str:
    bounds = bounds_of(wanted)
    return f"It can be {bounds}." if bounds else ""


def bounds_of(wanted: Wanted) -> str:
    """The bounds of an amount, as `from 1 s to 60 s`; nothing if it has none."""
    marks = list(all_marks(wanted))
    written = next((mark.written for mark in marks if isinstance(mark, Unit)), str)
    lower, upper = (
        [
            words.format(written(getattr(mark, bound)))
            for bound, words in bounds.items()
            for mark in marks
            if getattr(mark, bound, None) is not None
        ]
        for bounds in (_LOWER, _UPPER)
    )
    bounds = " and ".join([*lower, *upper])
    return bounds.replace(" and up to", " to") if bounds.startswith("from") else bounds
