"""Facts as HTTP callers report them: a yes or no is true or false, a number a number, a name text.

JSON has kinds of its own, so nothing is read into a value here: `"yes"` is no `true`.
"""

from collections.abc import Mapping
from typing import Any

from broadcaster.room.commands import LONGEST_NAME, Refusal, RefusedError, Why
from broadcaster.room.part import Surroundings
from broadcaster.room.values import MOST, fact_value
from broadcaster.script.facts import Fact, FactState
from broadcaster.script.names import clipped, known_names
from broadcaster.script.venue_settings import FactSettings


class Facts:
    """The facts under the names that the outside has for them."""

    def __init__(self, around: Surroundings) -> None:
        self._around = around
        self._names = {outside: name for name, outside in around.intake.facts().items()}
        told = around.settings.facts
        self._settings = {name: told.get(name, FactSettings()) for name in around.programme.facts}

    def named(self) -> Mapping[str, str]:
        """The name in the script of each fact, by its name outside."""
        return self._names

    def name_of(self, outside: str) -> str:
        """The name in the script. Raises RefusedError."""
        if outside not in self._names:
            known = known_names(outside[:LONGEST_NAME], self._names)
            raise RefusedError(Why.UNKNOWN, f"There is no fact {clipped(outside)}. {known}".strip())
        return self._names[outside]

    def now(self) -> dict[str, FactState]:
        """Each fact's value, by its name outside."""
        held = self._around.status.as_record()["facts"]
        return {outside: held[name] for outside, name in self._names.items()}

    def take(self, source: str, values: Mapping[str, Any]) -> Refusal | None:
        """Take several, or none of them if one cannot be taken."""
        try:
            for outside, value in values.items():
                self._weigh(outside, value)
        except RefusedError as error:
            self._around.intake.refuse(source, error.refusal.sentence)
            return error.refusal
        refusals = [
            self._around.intake.take_fact(source, outside, value)
            for outside, value in values.items()
        ]
        return next((refusal for refusal in refusals if refusal), None)

    def schema(self, outside: str) -> dict[str, Any]:
        """The JSON Schema of what a fact takes."""
        name = self._names[outside]
        fact, settings = self._fact(name), self._settings[name]
        match fact.kind:
            case "a yes or no":
                return {"type": "boolean"}
            case "a name":
                return {"type": "string", "enum": list(fact.one_of)}
        least = [low for low in (fact.from_, settings.from_, 1 - MOST) if low is not None]
        most = [high for high in (fact.to, settings.to, MOST - 1) if high is not None]
        return {"type": "integer", "minimum": max(least), "maximum": min(most)}

    def _weigh(self, outside: str, value: object) -> None:
        name = self.name_of(outside)
        fact = self._fact(name)
        if not _is_of_kind(fact, value):
            raise RefusedError(
                Why.UNFIT, f"The fact `{outside}` takes {_WANTED[fact.kind]}, and nothing else."
            )
        fact_value(name, fact, self._settings[name], value)

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
