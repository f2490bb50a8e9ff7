"""How things stand: the latest event of each kind, in the order in which they happened."""

from broadcaster.story.events import (
    AnnouncementsWaiting,
    Coming,
    FactChanged,
    Held,
    HintReady,
    ItemStarted,
    JumpWaiting,
    Keyed,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    PlainVoiceStarted,
    PlainVoiceStopped,
    ReadabilityChanged,
    Resumed,
    RoundEnds,
    SegmentEntered,
    SessionClock,
    SessionEnded,
    SessionRestored,
    SessionStarted,
    SignalChanged,
    Stalled,
    StationOpened,
)

_TELLING = (
    StationOpened,
    SessionStarted,
    SessionEnded,
    SessionRestored,
    SessionClock,
    Held,
    Resumed,
    SegmentEntered,
    JumpWaiting,
    AnnouncementsWaiting,
    PlainVoiceStarted,
    PlainVoiceStopped,
    FactChanged,
    MilestoneMet,
    MilestoneOverdue,
    Stalled,
    SignalChanged,
    ReadabilityChanged,
    HintReady,
    ItemStarted,
    Keyed,
    Coming,
    RoundEnds,
)
"""Events whose latest tells how things stand: of its class, and of its fact or milestone."""


class Standing:
    """What whoever comes late must be told, to know what the others know."""

    def __init__(self) -> None:
        self._latest: dict[object, OutEvent] = {}

    def hear(self, event: OutEvent) -> None:
        """Take an event in. A station that opens knows nothing of the one before it."""
        if isinstance(event, StationOpened):
            self._latest.clear()
        if isinstance(event, _TELLING):
            kind = (type(event), _subject(event))
            self._latest.pop(kind, None)  # they are told in the order in which they happened
            self._latest[kind] = event

    def events(self) -> list[OutEvent]:
        """How things stand now."""
        return list(self._latest.values())


def _subject(event: OutEvent) -> str:
    """What an event tells of, where there are several."""
    match event:
        case FactChanged():
            return event.fact
        case MilestoneMet() | MilestoneOverdue() | Stalled():
            return event.milestone
        case _:
            return ""
