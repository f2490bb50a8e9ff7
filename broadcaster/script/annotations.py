"""What a Form wants at a place: its fields' types, opened up far enough to speak of them."""

from collections.abc import Iterator
from functools import cache
from inspect import isclass
from types import NoneType, UnionType
from typing import Annotated, Any, Union, get_args, get_origin

from pydantic import Discriminator, Tag
from pydantic.fields import FieldInfo

from broadcaster.script.forms import Form

# A type as it is written in a Form; typing has no type for those.
Wanted = Any


def origin_of(wanted: Wanted) -> Wanted:
    """The origin of a type; typing's own declaration knows too few of them."""
    return get_origin(wanted)


def opened(wanted: Wanted) -> tuple[Wanted, tuple[object, ...]]:
    """A type without what surrounds it (Annotated, `| None`), and the marks found on the way."""
    marks: tuple[object, ...] = ()
    while True:
        if origin_of(wanted) is Annotated:
            wanted, *more = get_args(wanted)
            marks += tuple(more)
            continue
        choices = [each for each in _choices(wanted) if each is not NoneType]
        if len(choices) != 1:
            return wanted, marks
        wanted = choices[0]


def all_marks(wanted: Wanted) -> Iterator[Wanted]:
    """The marks around a type, those that a Field() gathers one by one."""
    for mark in opened(wanted)[1]:
        yield from mark.metadata if isinstance(mark, FieldInfo) else (mark,)


def kinds(wanted: Wanted) -> dict[str, type[Form]]:
    """Where a mapping's first key is its kind: the kinds. Elsewhere none."""
    bare, marks = opened(wanted)
    if not any(isinstance(mark, Discriminator) for mark in marks):
        return {}
    return _tagged(bare)


@cache
def _tagged(union: Wanted) -> dict[str, type[Form]]:
    choices = [opened(choice) for choice in _choices(union)]
    return {mark.tag: form for form, marks in choices for mark in marks if isinstance(mark, Tag)}


def _choices(wanted: Wanted) -> tuple[Wanted, ...]:
    return get_args(wanted) if origin_of(wanted) in (Union, UnionType) else ()


def fields(wanted: Wanted) -> dict[str, FieldInfo]:
    """The keys of a Form that a writer can write; of anything else none."""
    form, _ = opened(wanted)
    if not (isclass(form) and issubclass(form, Form)):
        return {}
    aliases = {field.alias or name: field for name, field in form.model_fields.items()}
    return {alias: field for alias, field in aliases.items() if alias.isprintable()}


def inside(wanted: Wanted, step: str | int) -> Wanted:
    """The type of what stands behind a key, or at an index."""
    field = fields(wanted).get(str(step))
    if field:
        return (
            Annotated[(field.annotation, *field.metadata)] if field.metadata else field.annotation
        )
    bare, _ = opened(wanted)
    inner = get_args(bare)
    if origin_of(bare) is dict:
        return inner[1]
    return inner[0] if origin_of(bare) is tuple else None
