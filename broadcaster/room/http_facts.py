"""Facts as HTTP callers tell them: a yes or no is true or false, a number a number, a name text.

JSON has kinds of its own, so nothing is read into a value here: `"yes"` is no `true`. What is
reported is a sensor's, and what is set is a hand's (values.py).
"""

from collections.abc import Mapping
from typing import Any

from broadcaster.room.commands import Refusal, RefusedError, Report, Why
from broadcaster.room.part import Surroundings
from broadcaster.room.values import MOST, fact_value
from broadcaster.script.facts import Fact, FactState
from broadcaster.script.venue_settings import FactSettings


class Facts:
    """The facts under the names that the outside has for them."""

    def __init__(self, around: Surroundings) -> None:
        self._around = around
        self._names = around.intake.names
        told = around.settings.facts
        self._settings = {name: told.get(name, FactSettings()) for name in around.programme.facts}

    def named(self) -> Mapping[str, str]:
        """What each fact is called outside, by its name in the script."""
        return self._names.outside

    def name_of(self, called: str) -> str:
        """The name in the script. Raises RefusedError."""
        return self._names.of(called)

    def now(self) -> dict[str, FactState]:
        """Each fact's value in the script, by its name outside."""
        held = self._around.status.as_record()["facts"]
        return {outside: held[name] for name, outside in self.named().items()}

    def value_of(self, called: str) -> FactState:
        """A fact's value in the script. Raises RefusedError."""
        value: FactState = self._around.status.as_record()["facts"][self.name_of(called)]
        return value

    def report(self, source: str, values: Mapping[str, Any]) -> Refusal | None:
        """Take what sensors say of several facts, or nothing if one of them cannot be taken."""
        intake = self._around.intake
        try:
            for called, value in values.items():
                self._weigh(called, value, by_hand=False)
        except RefusedError as error:
            intake.refuse(source, error.refusal.sentence)
            return error.refusal
        refusals = [intake.take(source, Report(called, value)) for called, value in values.items()]
        return next((refusal for refusal in refusals if refusal), None)

    def set_by_hand(self, source: str, called: str, value: object) -> Refusal | None:
        """Take a fact's value in the script, as a hand at the console sets it."""
        intake = self._around.intake
        try:
            self._weigh(called, value, by_hand=True)
        except RefusedError as error:
            intake.refuse(source, error.refusal.sentence)
            return error.refusal
        return intake.take(source, {"event": "set fact", "fact": called, "value": value})

    def schema(self, name: str, *, by_hand: bool) -> dict[str, Any]:
        """The JSON Schema of what a fact takes; `by_hand`: of what it holds, too."""
        fact, settings = self._fact(name), FactSettings() if by_hand else self._settings[name]
        match fact.kind:
            case "a yes or no":
                return {"type": "boolean"}
            case "a name":
                return {"type": "string", "enum": list(fact.one_of)}
        least = [low for low in (fact.from_, settings.from_, 1 - MOST) if low is not None]
        most = [high for high in (fact.to, settings.to, MOST - 1) if high is not None]
        return {"type": "integer", "minimum": max(least), "maximum": min(most)}

    def _weigh(self, called: str, value: object, *, by_hand: bool) -> None:
        name = self.name_of(called)
        fact = self._fact(name)
        if not _is_of_kind(fact, value):
            raise RefusedError(
                Why.UNFIT, f"The fact `{called}` takes {_WANTED[fact.kind]}, and nothing else."
            )
        fact_value(name, fact, value, None if by_hand else self._settings[name])

    def _fact(self, name: str) -> Fact:
        return self._around.programme.facts[name]


_WANTED = {
    "a yes or no": "true or false",
    "a number": "a whole number",
    "a name": "one of its names",
}


def _is_of_kind(fact: Fact, value: object) -> bool:
    match fact.kind:
        case "a yes or no":
            return isinstance(value, bool)
        case "a number":
            return isinstance(value, int | float) and not isinstance(value, bool)
        case _:
            return value in fact.one_of
