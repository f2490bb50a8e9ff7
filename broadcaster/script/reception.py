"""How the broadcast is to be received: how readable, and how strong."""

from typing import Annotated

from pydantic import BeforeValidator, Field

from broadcaster.errors import UnreadableError
from broadcaster.script.condition_tree import Expression
from broadcaster.script.conditions import parse_condition
from broadcaster.script.names import clipped
from broadcaster.script.shapes import Shape
from broadcaster.script.transitions import Transition as Transition
from broadcaster.script.values import NUMBER, Unit, factor

UNREADABLE, PERFECTLY_READABLE = 1.0, 5.0
"""The ends of the scale of readability, as QRK 1 and QRK 5 (Rec. ITU-R M.1172)."""
NO_SIGNAL, FULL_SIGNAL = 0.0, 5.0
"""The ends of the scale of strength: nothing but noise, and S 5 as in SINPO (Rec. ITU-R SM.1135,
from memory, whose scale begins at 1)."""


def grade(value: object) -> float:
    """`4` or `3.5`; the range is the field's to check."""
    try:
        return factor(value)
    except UnreadableError:
        raise UnreadableError(
            f"{clipped(str(value))} is not a grade of readability.",
            "Write it as `4`; 1 is unreadable, 5 perfectly readable.",
        ) from None


def signal(value: object) -> Expression:
    """`3`, or a sum such as `crates_open + 1`; raises UnreadableError."""
    if isinstance(value, str) and not value.strip():
        raise UnreadableError("Nothing stands here.", "Write `3`, or `crates_open + 1`.")
    return parse_condition(value)


Grade = Annotated[
    float,
    BeforeValidator(grade),
    Field(ge=UNREADABLE, le=PERFECTLY_READABLE),
    Unit(lambda amount: f"{amount:g}"),
    Shape(NUMBER, "4", ("number",)),
]
"""How readable something is to be: 1 to 5."""
Signal = Annotated[
    Expression,
    BeforeValidator(signal),
    Shape(r"(?!.*(?:==|&&|\|\|)).*\S.*", "crates_open + 1", ("integer",)),
]
"""How strong the signal is: numbers, facts and what counts 1 while it holds, added up."""
