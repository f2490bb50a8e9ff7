"""What the outside calls a value, as what a fact of the script can hold.

Devices have no `yes`: a switch says 1, `on` or true. Each of these words is read as the fact's own
kind, and a word that is none of them is refused.
"""

import re
from collections.abc import Mapping

from broadcaster.room.commands import RefusedError, Why
from broadcaster.script.facts import Fact, FactState, plain
from broadcaster.script.names import clipped
from broadcaster.script.venue_settings import FactSettings

YES_OR_NO: Mapping[str, bool] = {
    **dict.fromkeys(("yes", "true", "on", "1"), True),
    **dict.fromkeys(("no", "false", "off", "0"), False),
}
"""How the outside says yes and no; capitals are as good."""
_WHOLE = re.compile(r"[+-]?[0-9]{1,9}(?:\.0{1,9})?")
MOST = 10**9
"""A number of this size or more is none that a script can mean (script/facts.py: nine figures)."""


def fact_value(
    name: str, fact: Fact, given: object, settings: FactSettings | None = None
) -> FactState:
    """The value that a fact is to have, from what an inlet was given. Raises RefusedError.

    `settings`: of what a sensor reports; what is set by hand is the script's own value.
    """
    value = _read(fact, given)
    if value is None:
        said = clipped(plain(given) if isinstance(given, bool | int | str) else repr(given))
        raise RefusedError(Why.UNFIT, f"The fact `{name}` is {fact.kind}; {said} is none.")
    if settings and settings.inverted:
        value = not value
    if refusal := fact.refusal(value):
        found, allowed = refusal
        raise RefusedError(Why.UNFIT, f"The fact `{name}`: {found} {allowed}".strip())
    if settings and isinstance(value, int) and not _believed(value, settings):
        raise RefusedError(
            Why.UNFIT, f"The fact `{name}`: {value} is not believed: it is beyond the settings."
        )
    return value


def _believed(value: int, settings: FactSettings) -> bool:
    low, high = settings.from_, settings.to
    return (low is None or low <= value) and (high is None or value <= high)


def _read(fact: Fact, given: object) -> FactState | None:
    match fact.kind:
        case "a yes or no":
            return _yes_or_no(given)
        case "a number":
            return _number(given)
        case _:
            return given.strip() if isinstance(given, str) else None


def _yes_or_no(given: object) -> bool | None:
    if isinstance(given, str):
        return YES_OR_NO.get(given.strip().lower())
    return bool(given) if isinstance(given, bool | int | float) and given in (0, 1) else None


def _number(given: object) -> int | None:
    """A whole number; one with nothing but zeros behind the point is one, too."""
    if isinstance(given, str):
        return int(float(given)) if _WHOLE.fullmatch(given.strip()) else None
    if isinstance(given, bool) or not isinstance(given, int | float):
        return None
    whole = -MOST < given < MOST and given == int(given)  # neither infinite nor not-a-number
    return int(given) if whole else None
