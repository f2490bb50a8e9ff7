"""Commands in words: for the log, which tells who gave them."""

from dataclasses import fields

from broadcaster.room.positional import AS_THE_SCRIPT_SAYS
from broadcaster.story.events import InEvent, name_of


def names_its_source(event: InEvent) -> bool:
    """Whether an event carries by which way in it came, so that what comes of it tells."""
    return "source" in event.__dataclass_fields__


def command_words(event: InEvent) -> str:
    """A command in words, for the log: `jump (the gate, now)`."""
    told = [(field, getattr(event, field.name)) for field in fields(event)]
    said = [_word(field.name, value) for field, value in told if value != field.default]
    name = name_of(type(event))
    return f"{name} ({', '.join(said)})" if said else name


def _word(key: str, value: object) -> str:
    match value:
        case None:
            return AS_THE_SCRIPT_SAYS
        case True:
            return key
        case float():
            return f"{value:g}"
        case _:
            return str(value)
