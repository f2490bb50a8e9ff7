"""What the operator says on air: announcements that wait or went out, and the plain voice."""

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
        """The latest first, each text once."""
        latest = {one.text: one for one in self._spoken}
        return tuple(sorted(latest.values(), key=lambda one: one.at, reverse=True))

    def hear(self, event: OutEvent, wall: datetime) -> None:
        """Take any event, and the time of day that it belongs to."""
        match event:
            case AnnouncementsWaiting():
                self.waiting = tuple(one_line(text) for text in event.texts)
            case ItemAired(item=Say.kind, part=Part.ANNOUNCEMENT, complete=True):
                self._spoken.append(SpokenView(one_line(event.text), f"{wall:%H:%M:%S}"))
            case PlainVoiceStarted():
                self.plain = PlainView(one_line(event.text), f"{wall:%H:%M:%S}", event.source)
            case PlainVoiceStopped():
                self.plain = None
