"""JSON from outside: an object, with nothing in it that JSON does not have."""

import json
from typing import Any, NoReturn


def object_in(text: bytes | str) -> dict[str, Any]:
    """The object that a text holds. Raises ValueError with a sentence."""
    try:
        held = json.loads(text, parse_constant=_no_number)
    except (ValueError, RecursionError) as error:  # no UTF-8 either, and no end of brackets
        raise ValueError(f"this is not JSON: {error}.") from None
    if not isinstance(held, dict):
        raise ValueError("this is not a JSON object.")  # noqa: TRY004  it is the text that is wrong
    return held


def printable(value: Any) -> Any:  # noqa: ANN401  whatever JSON holds
    """The value without characters that a terminal would obey: for what others wrote."""
    match value:
        case str() if not value.isprintable():
            return "".join(one if one.isprintable() or one == "\n" else " " for one in value)
        case list():
            return [printable(one) for one in value]
        case dict():
            return {printable(name): printable(one) for name, one in value.items()}
        case _:
            return value


def _no_number(word: str) -> NoReturn:
    raise ValueError(f"{word} is no number that JSON knows")
