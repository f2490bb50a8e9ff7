"""A rehearsed session: the same playout, as long as the session, with every event told."""

from itertools import pairwise

from broadcaster.air.broadcast import Broadcast
from broadcaster.rehearsal.course import Course
from broadcaster.rehearsal.session import Rehearsal
from broadcaster.story.events import (
    EndSession,
    GiveHint,
    Hold,
    ItemAired,
    Jump,
    JumpTiming,
    OutEvent,
    Resume,
    SetFact,
    StartSession,
    StationClosed,
    StationOpened,
)
from broadcaster.units import RATE
from tests.air.make import TableItems, on_air, watch_and_gate
from tests.rehearsal.make import Pauses, night_watch
from tests.story.make import MINUTE, entry, pause

START = (0, StartSession())


def aired(events: tuple[OutEvent, ...] | list[OutEvent]) -> list[ItemAired]:
    return [event for event in events if isinstance(event, ItemAired)]


def test_it_goes_as_the_broadcast_does():
    """Items of the same lengths, the same events: the same as-run entries as with sound."""
    show = on_air(watch_and_gate())
    agenda = (
        START,
        (20_000, Jump("watch", JumpTiming.NOW)),
        (70_001, SetFact("lamp", True)),
        (90_000, SetFact("crates", 3)),
    )
    length = 3 * RATE
    rehearsed = Rehearsal(show, agenda, seed=7, length=length).run(TableItems())
    broadcast = Broadcast(show, TableItems(), seed=7, length=length)
    for frame, event in agenda:
        broadcast.receive(event, frame)
    while not broadcast.over:
        broadcast.render(4_096)
    assert aired(rehearsed.events) == aired(broadcast.take_events())


def test_it_tiles_the_session_and_says_when_it_was():
    """From StationOpened to StationClosed, each frame in one item."""
    rehearsed = Rehearsal(night_watch(), (START,), length=20 * RATE).run(Pauses())
    assert isinstance(rehearsed.events[0], StationOpened)
    assert rehearsed.events[-1] == StationClosed(20 * RATE)
    items = aired(rehearsed.events)
    assert items[0].start_frame == 0
    assert items[-1].end_frame == 20 * RATE
    assert all(after.start_frame == before.end_frame for before, after in pairwise(items))


def test_it_lasts_as_long_as_the_session_was_planned():
    """Nothing happens: sixty minutes, to the frame."""
    assert Rehearsal(night_watch(), (START,)).run(Pauses()).frames == 60 * MINUTE


def test_it_is_over_with_the_story():
    """The last frame is the one on which the session ended."""
    rehearsed = Rehearsal(night_watch(), (START, (5 * RATE, EndSession()))).run(Pauses())
    course = Course(rehearsed)
    assert rehearsed.frames == course.end < 6 * RATE


def test_the_course_tells_segments_hints_and_clues():
    """Where the story was and why, what was cut, and whose times a hold moved."""
    agenda = (
        START,
        (8 * RATE, GiveHint()),
        (60 * RATE, Hold()),
        (90 * RATE, Resume()),
        (10 * MINUTE, SetFact("lamp", True)),
        (12 * MINUTE, SetFact("gate", "open")),
    )
    course = Course(Rehearsal(night_watch(), agenda).run(Pauses()))
    assert [visit.segment for visit in course.visits] == ["dark", "light", "home"]
    assert [visit.why for visit in course.visits][:2] == ["the opening", "exit: lamp"]
    assert course.visits[1].end == course.visits[2].start
    assert [(hint.rung, hint.of) for hint in course.hints] == [(1, 2)]
    gate, lamp = course.paces
    assert (gate.met, lamp.met) == (12 * MINUTE, 10 * MINUTE)
    assert not gate.overdue
    assert {clue.clue for clue in course.clues} == {"the key", "the gate"}
    assert all(clue.end_frame - clue.start_frame < 2 * RATE for clue in course.cut_clues)


def test_a_milestone_that_is_late_is_told_on_its_frame():
    """Held for half a minute, it is due half a minute later."""
    agenda = (START, (60 * RATE, Hold()), (90 * RATE, Resume()))
    course = Course(Rehearsal(night_watch(), agenda).run(Pauses()))
    gate, lamp = course.paces
    assert (lamp.due, lamp.hint) == (20 * MINUTE + 30 * RATE, 24 * MINUTE + 30 * RATE)
    assert (gate.met, gate.overdue, lamp.overdue) == (None, True, True)


def test_the_timetable_by_the_wall_is_rehearsed_too():
    """The virtual clock begins at 20:00: an entry for 20:05 starts on that frame."""
    show = night_watch(timetable=(entry(pause("1 s"), daily="20:05"),))
    rehearsed = Rehearsal(show, (START,)).run(Pauses())
    (due,) = [item for item in aired(rehearsed.events) if item.part == "timetable"]
    assert due.start_frame == 5 * MINUTE
