"""The base of everything a writer fills in: frozen, no unknown keys, spaces in the keys."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import ClassVar

from pydantic import BaseModel, ConfigDict


class Form(BaseModel):
    """A mapping in a script. The key `group gap` is the field `group_gap`.

    Validators are built at the first validation and not at import: the station process, which
    only receives finished forms, never pays for them.
    """

    exactly_one: ClassVar[tuple[tuple[str, ...], ...]] = ()
    """Groups of keys: of each group a mapping has exactly one. Checked with the meaning."""
    belongs: ClassVar[Mapping[str, str]] = MappingProxyType({})
    """Keys that stand only beside another. Checked with the meaning."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        alias_generator=lambda name: name.replace("_", " "),
        populate_by_name=True,
        arbitrary_types_allowed=True,
        defer_build=True,
    )
