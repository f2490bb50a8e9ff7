"""How things stand on air, told from what was heard: for a page, a retained message, a list."""

from collections.abc import Callable, Mapping
from dataclasses import asdict
from typing import Any

from broadcaster.script.programme import Programme
from broadcaster.script.reception import FULL_SIGNAL
from broadcaster.story.events import (
    AnnouncementsWaiting,
    Coming,
    FactChanged,
    Held,
    HintReady,
    ItemStarted,
    JumpWaiting,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    OutputState,
    PlainVoiceStarted,
    PlainVoiceStopped,
    ReadabilityChanged,
    Resumed,
    SegmentEntered,
    SessionClock,
    SessionEnded,
    SessionRestored,
    SessionStarted,
    SignalChanged,
    Stalled,
    StationClosed,
    StationOpened,
)
from broadcaster.story.state import SCRIPT

_NOTHING: dict[str, Any] = {
    "session": "stand by",
    "segment": None,
    "on_air": None,
    "next": [],
    "hint": None,
    "jump": None,
    "announcements": [],
    "plain_voice": None,
}
"""What stands where nothing has been told yet."""


class Status:
    """One mapping that follows the events. Its keys are those of as-run records."""

    def __init__(self, programme: Programme) -> None:
        self._programme = programme
        self._now: dict[str, Any] = {}
        self._open()

    def as_record(self) -> dict[str, Any]:
        """How things stand, as plain values. Frames are counts of units.RATE.

        `station` is `on air` or `closed`; `session` one of `stand by`, `on air`, `held` and
        `ended`; `on_air` the item (or None), `next` what comes if nothing happens, `facts` each
        fact's value, `milestones` each one's `open`, `met`, `overdue` or `stalled`, `hint` what a
        hint would say now, `signal` how strong it is and who says so, `readability` the operator's
        wish (None: as the script says), `clock` the session's clock and `output` how the output is
        doing.
        """
        return {**self._now, "facts": dict(self._facts), "milestones": dict(self._milestones)}

    def hear(self, event: OutEvent) -> None:
        """Take an event in."""
        change = _CHANGES.get(type(event))
        if change:
            change(self, event)

    def _open(self) -> None:
        station = self._programme.station
        self._facts = {name: fact.at_first for name, fact in self._programme.facts.items()}
        self._milestones = dict.fromkeys(self._programme.milestones, "open")
        self._now = {
            "programme": self._programme.programme,
            "callsign": station.callsign,
            "frequency": station.frequency,
            "segments": list(self._programme.segments),
            "station": "on air",
            **_NOTHING,
            "signal": {"strength": FULL_SIGNAL, "why": SCRIPT},
            "readability": None,
            "clock": {"frame": 0, "session_frames": 0, "running": False},
            "output": None,
        }

    def _session(self, state: str) -> None:
        self._now["session"] = state
        if state != "held":
            self._now |= {"jump": None}

    def _begin(self, event: SessionStarted) -> None:
        del event
        self._session("on air")
        self._milestones = dict.fromkeys(self._programme.milestones, "open")

    def _end(self, event: SessionEnded) -> None:
        self._session("stand by" if event.why == "reset" else "ended")
        self._now["segment"] = None

    def _fact(self, event: FactChanged) -> None:
        self._facts[event.fact] = event.value

    def _put(self, key: str, value: object) -> None:
        self._now[key] = value

    def _milestone(self, name: str, state: str) -> None:
        self._milestones[name] = state


def _plain_levels(output: dict[str, Any]) -> dict[str, Any]:
    """The output's state. The level of silence, for which JSON has no number, is None."""
    return {key: None if value == float("-inf") else value for key, value in output.items()}


_Change = Callable[[Status, Any], None]
_CHANGES: Mapping[type[OutEvent], _Change] = {
    StationOpened: lambda status, _: status._open(),
    StationClosed: lambda status, _: status._put("station", "closed"),
    SessionStarted: Status._begin,
    SessionEnded: Status._end,
    SessionRestored: lambda status, _: status._session("on air"),
    Held: lambda status, _: status._session("held"),
    Resumed: lambda status, _: status._session("on air"),
    SessionClock: lambda status, event: status._put("clock", asdict(event)),
    SegmentEntered: lambda status, event: status._put("segment", event.segment),
    FactChanged: Status._fact,
    MilestoneMet: lambda status, event: status._milestone(event.milestone, "met"),
    MilestoneOverdue: lambda status, event: status._milestone(event.milestone, "overdue"),
    Stalled: lambda status, event: status._milestone(event.milestone, "stalled"),
    ItemStarted: lambda status, event: status._put("on_air", asdict(event)),
    Coming: lambda status, event: status._put(
        "next", [dict(zip(("segment", "item", "text"), cue, strict=True)) for cue in event.cues]
    ),
    HintReady: lambda status, event: status._put(
        "hint",
        {"rung": event.rung, "of": event.of, "text": event.text} if event.rung else None,
    ),
    JumpWaiting: lambda status, event: status._put(
        "jump",
        {"segment": event.segment, "timing": str(event.timing)} if event.segment else None,
    ),
    AnnouncementsWaiting: lambda status, event: status._put("announcements", list(event.texts)),
    PlainVoiceStarted: lambda status, event: status._put("plain_voice", event.text),
    PlainVoiceStopped: lambda status, _: status._put("plain_voice", None),
    SignalChanged: lambda status, event: status._put(
        "signal", {"strength": event.strength, "why": event.why}
    ),
    ReadabilityChanged: lambda status, event: status._put("readability", event.grade),
    OutputState: lambda status, event: status._put("output", _plain_levels(asdict(event))),
}
