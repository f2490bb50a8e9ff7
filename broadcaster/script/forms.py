"""The base of everything a writer fills in: frozen, no unknown keys, spaces in the keys."""

from pydantic import BaseModel, ConfigDict


class Form(BaseModel):
    """A mapping in a script. The key `group gap` is the field `group_gap`."""

    model_config = ConfigDict(
        frozen=True,
        extra="forbid",
        alias_generator=lambda name: name.replace("_", " "),
        populate_by_name=True,
        arbitrary_types_allowed=True,
        use_attribute_docstrings=True,
    )
