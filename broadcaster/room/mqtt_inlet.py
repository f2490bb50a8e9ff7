"""What comes from a broker: facts and commands, on their way to the intake.

A fact is a state, so one that the broker kept (retained) counts; but what was taken once is not
taken again because the line was lost and came back, or a broadcast would notice it. A command is a
moment, so one that was kept is never obeyed, and one that comes twice (QoS 1) is obeyed once if it
has an `id`.
"""

from collections import OrderedDict
from typing import Any

from broadcaster.room.commands import Report
from broadcaster.room.intake import Intake
from broadcaster.room.json_text import object_in
from broadcaster.room.mqtt_topics import MOST_BYTES
from broadcaster.script.names import clipped

SOURCE = "mqtt"
REMEMBERED = 1000
"""Commands whose `id` is known."""
LONGEST_ID = 64


class Inlet:
    """Reads what came, and gives it to the intake."""

    def __init__(self, intake: Intake) -> None:
        self._intake = intake
        self._taken: dict[str, bytes] = {}
        self._obeyed: OrderedDict[tuple[str, object], None] = OrderedDict()

    def fact(self, name: str, payload: bytes, *, kept: bool) -> None:
        """A fact's value, as a text. Nothing in it: a broker was told to keep it no more."""
        if not payload or (kept and self._taken.get(name) == payload):
            return
        text = self._text(f"fact {clipped(name)}", payload)
        if text is not None and self._intake.take(SOURCE, Report(name, text)) is None:
            self._remember(name, payload)

    def facts(self, payload: bytes, *, kept: bool) -> None:
        """Several facts, as a JSON object."""
        if not payload or (kept and self._taken.get("") == payload):
            return
        values = self._object("facts", payload)
        if values is not None:
            self._taken[""] = payload
            for name, value in values.items():
                self._intake.take(SOURCE, Report(name, value))

    def command(self, payload: bytes, *, kept: bool, source: str = SOURCE) -> None:
        """A message of commands.py, perhaps with an `id`."""
        if not payload:
            return
        if kept:
            self._intake.refuse(
                SOURCE, "A command that the broker had kept was not obeyed: send it not retained."
            )
            return
        message = self._object("command", payload)
        if message is None:
            return
        known = message.pop("id", None)
        if known is not None and not _is_id(known):
            self._intake.refuse(
                SOURCE, f"An `id` is a text of up to {LONGEST_ID} characters, or a whole number."
            )
        elif (source, known) not in self._obeyed:
            refusal = self._intake.take(source, message)
            if known is not None and refusal is None:
                self._obeyed[source, known] = None
        if len(self._obeyed) > REMEMBERED:
            self._obeyed.popitem(last=False)

    def _remember(self, name: str, payload: bytes) -> None:
        if name in self._intake.names.all:
            self._taken[name] = payload

    def _text(self, what: str, payload: bytes) -> str | None:
        if len(payload) > MOST_BYTES:
            self._intake.refuse(SOURCE, f"{what}: {len(payload)} bytes are too many.")
            return None
        try:
            return payload.decode()
        except UnicodeDecodeError:
            self._intake.refuse(SOURCE, f"{what}: this is no text in UTF-8.")
            return None

    def _object(self, what: str, payload: bytes) -> dict[str, Any] | None:
        text = self._text(what, payload)
        if text is None:
            return None
        try:
            return object_in(text)
        except ValueError as error:
            self._intake.refuse(SOURCE, f"{what}: {error}")
            return None


def _is_id(value: object) -> bool:
    if isinstance(value, str):
        return 0 < len(value) <= LONGEST_ID
    return isinstance(value, int) and not isinstance(value, bool)
