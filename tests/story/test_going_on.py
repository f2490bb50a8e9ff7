"""A session goes on in another station, whose frames count from its own beginning."""

from dataclasses import replace
from typing import Any

import pytest

from broadcaster.script.programme import Programme
from broadcaster.story.cue import Cue
from broadcaster.story.events import (
    Announce,
    AnnouncementsWaiting,
    FactChanged,
    Held,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    JumpWaiting,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    PlainVoice,
    PlainVoiceStarted,
    ReadabilityChanged,
    SegmentEntered,
    SessionClock,
    SessionRestored,
    SetFact,
    SetReadability,
    SetSignal,
    SignalChanged,
    Stalled,
    StartSession,
)
from broadcaster.story.machine import Story
from broadcaster.story.state import State, moved
from broadcaster.units import RATE
from tests.air.make import busy_session
from tests.story.make import programme, say, segment

SEED = 5
ITEM = RATE  # each item takes a second


class Life:
    """The story, item by item, with all that it tells, and on which frame after its begin."""

    def __init__(self, script: Programme, state: State | None = None, frame: int = 0) -> None:
        self.story = Story(script, SEED)
        self.state = state or self.story.stand_by()
        self.begin = self.frame = frame
        self.told: list[tuple[int, Any]] = []

    def send(self, *events: InEvent) -> "Life":
        for event in events:
            turn = self.story.receive(self.state, event, self.frame)
            self._take(turn.state, turn.events)
        return self

    def items(self, count: int) -> "Life":
        for _ in range(count):
            turn = self.story.advance(self.state, self.frame)
            self._take(turn.state, turn.events)
            self.told.append((self.frame - self.begin, turn.cue))
            self._pass(self.frame + ITEM)
        return self

    def _pass(self, until: int) -> None:
        while self.frame < until:
            wait = self.story.frames_until_change(self.state, self.frame)
            self.frame = until if wait is None else min(until, self.frame + wait)
            turn = self.story.tick(self.state, self.frame)
            self._take(turn.state, turn.events)

    def _take(self, state: State, events: tuple[OutEvent, ...]) -> None:
        self.state = state
        self.told += [(event.frame - self.begin, without_frame(event)) for event in events]


def without_frame(event: Any) -> OutEvent:
    return replace(event, frame=0)


@pytest.mark.parametrize("before", range(9))
def test_what_comes_does_not_ask_from_where_frames_are_counted(before: int) -> None:
    """The same items, hints, milestones and entries of the timetable, on the same frames."""
    whole = Life(busy_session()).send(StartSession()).items(before)
    whole.send(SetFact("crates", 2), Announce("Mind the step."))
    there = Life(busy_session(), whole.state, whole.frame)
    elsewhere = Life(busy_session(), moved(whole.state, -whole.frame))
    for life in (there, elsewhere):
        life.items(3).send(Hold()).items(2).send(SetFact("lamp", True)).items(2)
    assert there.told == elsewhere.told
    assert any(isinstance(what, Cue) for _, what in there.told)
    assert moved(there.state, -whole.frame) == elsewhere.state


def far_along() -> Life:
    """A session in its second segment, in which all that can stand stands."""
    script = programme(
        {"watch": segment(say("one")), "far": segment(say("far"))},
        facts={"lamp": False, "crates": {"at first": 0, "from": 0, "to": 4}},
        milestones={
            "lamp": {"when": "lamp", "by": "10 min"},
            "crates": {"when": "crates = 4", "by": "1 s", "hint after": "2 s"},
        },
    )
    life = Life(script).send(StartSession(), Jump("far")).items(1)
    life.send(SetFact("lamp", True)).items(2)
    life.send(SetSignal(2.0), SetReadability(3.0))
    return life.send(Announce("Later."), Jump("watch", JumpTiming.AFTER_ROUND, "cut"))


def told_by_the_next(life: Life) -> list[OutEvent]:
    """What a station tells that goes on from there."""
    return list(life.story.go_on(moved(life.state, -life.frame), 0).events)


def test_a_station_that_goes_on_tells_how_things_stand() -> None:
    """All that whoever knows only this station must know; and not that a session has begun.

    Milestones with the times at which they came to stand so.
    """
    assert told_by_the_next(far_along()) == [
        SessionRestored(0),
        SessionClock(0, 3 * RATE, running=True),
        FactChanged(0, "lamp", True, "the restored session"),
        ReadabilityChanged(0, 3.0),
        MilestoneMet(0, "lamp", RATE),
        MilestoneOverdue(0, "crates", RATE),
        Stalled(0, "crates", 2 * RATE),
        SegmentEntered(0, "far", "the restored session"),
        JumpWaiting(0, "watch", JumpTiming.AFTER_ROUND, "cut"),
        AnnouncementsWaiting(0, ("Later.",)),
        SignalChanged(0, 2.0, "the operator"),
    ]


def test_a_session_that_is_held_is_told_to_be() -> None:
    """Its clock shows what it showed, and stands."""
    told = told_by_the_next(far_along().send(Hold()))
    assert SessionClock(0, 3 * RATE, running=False) in told
    assert Held(0) in told


def test_the_plain_voice_goes_on() -> None:
    """Whoever stands in the room must not be left without it."""
    told = told_by_the_next(far_along().send(PlainVoice("Stand still.")))
    assert PlainVoiceStarted(0, "Stand still.", "the restored session") in told


def test_a_station_that_stood_by_stands_by() -> None:
    """With the facts that the room had told already, and with no session."""
    told = told_by_the_next(Life(busy_session()).send(SetFact("crates", 3)))
    assert told == [FactChanged(0, "crates", 3, "the restored session")]
