"""Which path asks for which event. The fields of its body are those of the event (commands.py)."""

from collections.abc import Mapping
from dataclasses import MISSING, Field, dataclass, field, fields
from typing import Any

from broadcaster.room.commands import COMMANDS, NOT_TOLD


@dataclass(frozen=True, slots=True)
class Order:
    """One method of one path, and the event that it asks for, in words."""

    method: str
    path: str
    event: str
    summary: str
    confirmed: bool = False
    """Whether the body must say the event's name once more, as `confirm`: it is grave."""
    says: Mapping[str, Any] = field(default_factory=dict)
    """Fields of the event that the path says, so that the body does not."""
    named: str = ""
    """The order's own name, where the event's is another order's."""

    @property
    def name(self) -> str:
        """What the order is called; no other is called so."""
        return self.named or self.event

    @property
    def fields(self) -> "dict[str, Field[Any]]":
        """The fields of the event that the body may have, by their names."""
        told = fields(COMMANDS[self.event])
        return {one.name: one for one in told if one.name not in (*NOT_TOLD, *self.says)}

    @property
    def needed(self) -> list[str]:
        """The keys that the body must have; where there are none, there need be no body."""
        needed = [name for name, one in self.fields.items() if one.default is MISSING]
        return ["confirm", *needed] if self.confirmed else needed


ORDERS = (
    Order("POST", "/session/start", "start session", "Begin a session."),
    Order("POST", "/session/hold", "hold", "Hold the session after the item on air."),
    Order("POST", "/session/resume", "resume", "Let a held session go on."),
    Order("POST", "/session/end", "end session", "End the session; the station stands by."),
    Order("POST", "/session/reset", "reset session", "Make all ready for the next team."),
    Order(
        "POST",
        "/session/restore",
        "restore session",
        "Bring a session back that was ended or reset within the last minute.",
    ),
    Order("POST", "/jump", "jump", "Jump to a segment."),
    Order("DELETE", "/jump", "take back jump", "Forget a jump that waits."),
    Order("POST", "/hint", "give hint", "Give the next hint of the segment on air."),
    Order("DELETE", "/hint", "take back hint", "Do not give the hint that waits."),
    Order("POST", "/announcement", "announce", "Say something in the station's voice."),
    Order(
        "DELETE",
        "/announcement",
        "take back announcement",
        "Forget the last announcement, or cut it where it is on air.",
    ),
    Order("POST", "/signal", "set signal", "Say how strong the signal is, or null."),
    Order(
        "DELETE",
        "/signal",
        "set signal",
        "Let the signal be as the script says.",
        says={"strength": None},
        named="take back signal",
    ),
    Order(
        "POST",
        "/readability",
        "set readability",
        "Say how readable all is that begins from now on, or null.",
    ),
    Order(
        "DELETE",
        "/readability",
        "set readability",
        "Let all be as readable as the script says.",
        says={"grade": None},
        named="take back readability",
    ),
    Order(
        "POST",
        "/plain-voice",
        "plain voice",
        "Put the plain voice on air, and all else off: for the real world.",
        confirmed=True,
    ),
    Order(
        "POST",
        "/plain-voice/stop",
        "stop plain voice",
        "Silence the plain voice. A session stays held.",
        confirmed=True,
    ),
)
