"""The topics of a station on a broker: all lie below `VENUE/STATION/`.

| below it | who tells | what |
|---|---|---|
| `fact/NAME`, `facts` | the room | a value, or a JSON object of several; may be retained |
| `command` | the room | a message of commands.py; is not obeyed if it was retained |
| `status` | the station | how things stand: JSON, retained, and the last will |
| `programme` | the station | what a console must know: JSON, retained |
| `as-run/EVENT` | the station | what happened: a record of the log |
| `happened/NAME` | the station | what lights can follow (tidings.py): a JSON array |
| `key` | the station | `1` while the key of the Morse is down, `0` when it is up again |
| `console/ID/ask`, `console/ID/command` | a console | that it is there; what its operator does |
| `console/ID/told` | the station | all events, for that console alone |
"""

import re
from dataclasses import dataclass

from broadcaster.errors import UsageError
from broadcaster.script.alphabets import shown

FACT, FACTS, COMMAND = "fact", "facts", "command"
STATUS, PROGRAMME, AS_RUN, HAPPENED, KEY = "status", "programme", "as-run", "happened", "key"
CONSOLE, ASK, TOLD = "console", "ask", "told"

MOST_BYTES = 64 * 1024
"""In a message that comes in: the longest announcement fits in, each of its letters escaped."""
LONGEST_LEVEL = 100
"""Characters in a level of ours."""
_NO_LEVEL = re.compile(r"[/+#$\x00-\x1f\x7f]")
"""What no level may hold, or is kept for brokers (MQTT 5.0, 4.7)."""


@dataclass(frozen=True, slots=True)
class Topics:
    """Those of one station."""

    venue: str
    station: str

    def below(self, *levels: str) -> str:
        """A topic of the station."""
        return "/".join((self.venue, self.station, *levels))

    def levels_of(self, topic: str) -> list[str]:
        """What a topic has below the station's own levels."""
        return topic.removeprefix(f"{self.venue}/{self.station}/").split("/")


def checked_level(key: str, text: str) -> str:
    """A level as the settings give it. Raises UsageError if it can be none."""
    wrong = _NO_LEVEL.search(text)
    if wrong:
        raise UsageError(
            f"`{key}: {text}` cannot be a level of a topic: take out {shown(wrong.group())}."
        )
    if len(text) > LONGEST_LEVEL:
        raise UsageError(f"`{key}` has {len(text)} characters; {LONGEST_LEVEL} are the most.")
    return text


def level_of(callsign: str) -> str:
    """A callsign as a level: in small letters, hyphens for what cannot stand there."""
    level = re.sub(r"[\s/+#$\x00-\x1f\x7f]+", "-", callsign.casefold()).strip("-")
    return level[:LONGEST_LEVEL] or "station"


def event_level(event: str) -> str:
    """An event's name as a level: `item-aired`."""
    return event.replace(" ", "-")
