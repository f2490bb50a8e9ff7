"""What the operator says on air: announcements that wait or were wanted, and the plain voice."""

from collections import deque
from datetime import datetime

from broadcaster.console.parts import PlainView, SpokenView
from broadcaster.console.words import one_line
from broadcaster.script.programme import Say
from broadcaster.story.events import (
    AnnouncementsWaiting,
    ItemAired,
    OutEvent,
    Part,
    PlainVoiceStarted,
    PlainVoiceStopped,
)

REMEMBERED = 20
"""How many announcements can be said again."""


class Speaking:
    """Folds what the station tells of it."""

    def __init__(self) -> None:
        self._spoken: deque[SpokenView] = deque(maxlen=REMEMBERED)
        self.waiting: tuple[str, ...] = ()
        self.plain: PlainView | None = None

    @property
    def spoken(self) -> tuple[SpokenView, ...]:
        """The latest first, each text once; not what waits."""
        latest: dict[str, SpokenView] = {}
        for one in reversed(self._spoken):
            if one.text not in self.waiting:
                latest.setdefault(one.text, one)
        return tuple(latest.values())

    def hear(self, event: OutEvent, wall: datetime) -> None:
        """Take any event, and the time of day that it belongs to."""
        match event:
            case AnnouncementsWaiting():
                before, self.waiting = self.waiting, tuple(one_line(text) for text in event.texts)
                for text in self.waiting:
                    if text not in before:
                        self._note(text, wall)
            case ItemAired(item=Say.kind, part=Part.ANNOUNCEMENT):
                self._note(one_line(event.text), wall)
            case PlainVoiceStarted():
                self.plain = PlainView(one_line(event.text), f"{wall:%H:%M:%S}", event.source)
            case PlainVoiceStopped():
                self.plain = None

    def _note(self, text: str, wall: datetime) -> None:
        self._spoken.append(SpokenView(text, f"{wall:%H:%M:%S}"))
