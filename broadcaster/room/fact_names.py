"""What facts are called: by their names in the script, and by those that the settings give them.

Either name is good at every way in. Which fact is meant is never in doubt: settings that call a
fact as another one is called are faulty (script/venue_settings.py).
"""

from collections.abc import Iterable, Mapping

from broadcaster.room.commands import LONGEST_NAME, RefusedError, Why
from broadcaster.script.names import clipped, known_names
from broadcaster.script.venue_settings import FactSettings


class FactNames:
    """The names of one programme's facts."""

    def __init__(self, facts: Iterable[str], settings: Mapping[str, FactSettings]) -> None:
        """`settings`: those of facts, by their names in the script."""
        named = {name: form.named for name, form in settings.items()}
        self.outside: Mapping[str, str] = {name: named.get(name) or name for name in facts}
        """What each fact is called outside, by its name in the script."""
        self.all: Mapping[str, str] = {
            **{outside: name for name, outside in self.outside.items()},
            **{name: name for name in self.outside},
        }
        """The name in the script, by every name that is good."""

    def of(self, called: str) -> str:
        """The name in the script of a fact that is called so. Raises RefusedError."""
        name = self.all.get(called)
        if name is None:
            known = known_names(called[:LONGEST_NAME], self.all)
            raise RefusedError(Why.UNKNOWN, f"There is no fact {clipped(called)}. {known}".strip())
        return name
