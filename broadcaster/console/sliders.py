"""The two sliders of reception: their marks, and where each stands."""

from enum import StrEnum

from broadcaster.console.parts import ReceptionView
from broadcaster.script.reception import (
    FULL_SIGNAL,
    NO_SIGNAL,
    PERFECTLY_READABLE,
    UNREADABLE,
)

STEP = 0.5
"""The distance between two marks. Chosen: half a grade is as fine as an ear tells apart."""


class Slider(StrEnum):
    """A slider, by its name; in the order on the sheet."""

    SIGNAL = "signal"
    READABILITY = "readability"

    @property
    def marks(self) -> tuple[float, ...]:
        """Its marks, from the left."""
        if self is Slider.SIGNAL:
            return _marks(NO_SIGNAL, FULL_SIGNAL)
        return _marks(UNREADABLE, PERFECTLY_READABLE)

    def stands(self, reception: ReceptionView) -> float | None:
        """Where it stands, whoever wants it so; None: nobody does."""
        return reception.strength if self is Slider.SIGNAL else reception.grade

    def wanted(self, reception: ReceptionView) -> float | None:
        """Where the operator put it; None: it is as the script says."""
        return reception.set_strength if self is Slider.SIGNAL else reception.set_grade

    def beside(self, amount: float, step: int) -> float:
        """The next mark above an amount, or (step -1) below it; at an end, the end."""
        if step > 0:
            return next((mark for mark in self.marks if mark > amount), self.marks[-1])
        return next((mark for mark in reversed(self.marks) if mark < amount), self.marks[0])


def _marks(least: float, most: float) -> tuple[float, ...]:
    return tuple(least + STEP * number for number in range(int((most - least) / STEP) + 1))
