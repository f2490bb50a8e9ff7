"""Playout on the frame count: marks are landed on, announcements cut, a held session waits."""

from itertools import pairwise

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from broadcaster.air.playout import FADE_FRAMES, Playout
from broadcaster.period.lengths import frames_of
from broadcaster.script.programme import Programme
from broadcaster.story.events import (
    Announce,
    Coming,
    EndSession,
    HintReady,
    Hold,
    InEvent,
    ItemAired,
    ItemStarted,
    Jump,
    JumpTiming,
    OutEvent,
    Resume,
    RoundEnds,
    SegmentEntered,
    SessionClock,
    SessionStarted,
    StartSession,
    TimetableDropped,
    TimetableDue,
    Trouble,
)
from broadcaster.story.state import moved
from broadcaster.units import RATE
from tests.air.make import CountedItems, TableItems, busy_session
from tests.story.make import entry, pips, programme, say, segment

Agenda = list[tuple[float, InEvent]]


def script(*timetable: object) -> Programme:
    return programme(
        {"watch": segment(say("one"), say("two")), "far": segment(say("far"))},
        timetable=timetable,  # type: ignore[arg-type]
    )


NINE = entry(say("nine"), daily="21:00", late="5 s")
PIPS = entry(pips(6), say("nine"), daily="21:00", late="0 s")


def played(
    programme: Programme,
    agenda: Agenda,
    seconds: float,
    items: CountedItems | TableItems | None = None,
) -> list[OutEvent]:
    """Everything told in so many seconds; the session starts on frame 0."""
    playout = Playout(programme, items or CountedItems(), length=round(seconds * RATE))
    for at_s, event in [(0.0, StartSession()), *agenda]:
        playout.receive(event, round(at_s * RATE))
    for _ in playout.run(round(seconds * RATE)):
        pass
    return playout.take_events()


def aired(told: list[OutEvent]) -> list[tuple[str, float, float]]:
    """What went out: text, start and end in seconds."""
    return [
        (one.text, one.start_frame / RATE, one.end_frame / RATE)
        for one in told
        if isinstance(one, ItemAired)
    ]


def test_another_playout_goes_on_from_a_checkpoint() -> None:
    """What was on air goes out again, then what would have; the session's clock goes on, too."""
    first = Playout(script(), CountedItems())
    first.receive(StartSession())
    first.receive(Jump("far"), round(1.5 * RATE))
    list(first.run(round(2.3 * RATE)))
    second = Playout(script(), CountedItems(), state=moved(first.checkpoint, -first.frame))
    list(second.run(3 * RATE))
    told = second.take_events()
    assert aired(told)[:2] == [("far", 0, 1), ("far", 1, 2)]
    clocks = [event for event in told if isinstance(event, SessionClock)]
    assert clocks == [SessionClock(0, round(2.3 * RATE), running=True)]
    assert not any(isinstance(event, SessionStarted) for event in told)


def test_the_carrier_fills_up_to_a_mark_that_the_next_item_would_overrun() -> None:
    """The entry begins on its very frame, then the item that had to wait goes out."""
    told = played(script(NINE), [(0.2, TimetableDue(0, round(2.6 * RATE)))], 6)
    assert aired(told)[:5] == [
        ("one", 0, 1),
        ("two", 1, 2),
        ("carrier", 2, 2.6),
        ("nine", 2.6, 3.6),
        ("one", 3.6, 4.6),
    ]


def test_an_item_that_ends_on_the_mark_goes_out_before_it() -> None:
    """Not a frame of carrier; one frame less, and it waits."""
    told = played(script(NINE), [(0.2, TimetableDue(0, 2 * RATE))], 4)
    assert aired(told)[:3] == [("one", 0, 1), ("two", 1, 2), ("nine", 2, 3)]
    told = played(script(NINE), [(0.2, TimetableDue(0, 2 * RATE - 1))], 4)
    assert [text for text, _, _ in aired(told)[:3]] == ["one", "carrier", "nine"]


def test_the_last_pip_starts_on_the_mark() -> None:
    """Six pips begin five seconds before, whatever else goes out by then."""
    told = played(script(PIPS), [(0.2, TimetableDue(0, round(9.4 * RATE)))], 15)
    entries = aired(told)
    assert ("carrier", 4, 4.4) in entries
    assert ("6 pips", 4.4, 5.4) in entries  # each item lasts a second here


def test_an_item_on_air_is_never_cut_by_the_timetable() -> None:
    """The mark is missed then: late entries go out at the border, or are dropped and told."""
    items = CountedItems({"one": 4.0})
    told = played(script(NINE), [(0.2, TimetableDue(0, 2 * RATE))], 6, items)
    assert aired(told)[:2] == [("one", 0, 4), ("nine", 4, 5)]
    told = played(script(PIPS), [(0.2, TimetableDue(0, 7 * RATE))], 6, items)
    assert aired(told)[:2] == [("one", 0, 4), ("two", 4, 5)]
    assert [one.frame for one in told if isinstance(one, TimetableDropped)] == [4 * RATE]


def test_the_pause_of_an_empty_round_ends_on_the_mark() -> None:
    """The filler is cut short, not the mark missed."""
    empty = programme(
        {"watch": segment(say("x", when="lamp"))}, facts={"lamp": False}, timetable=(NINE,)
    )
    told = played(empty, [(0.1, TimetableDue(0, round(1.3 * RATE)))], 3)
    assert aired(told)[:3] == [("carrier", 0, 1), ("carrier", 1, 1.3), ("nine", 1.3, 2.3)]


def test_an_item_that_is_late_does_not_hide_the_mark() -> None:
    """The entry goes out on its frame, and the item that is awaited after it."""
    items = TableItems(late={"two": 60})
    told = played(script(NINE), [(0.2, TimetableDue(0, 2 * RATE))], 8, items)
    starts = {text: start for text, start, _ in reversed(aired(told))}
    assert starts["nine"] == 2.0
    assert starts["two"] > starts["nine"]
    entries = aired(told)
    assert all(one[2] == other[1] for one, other in pairwise(entries))


def test_moves_are_made_before_the_carrier_fills() -> None:
    """A jump is made at its border though the new segment must wait for the mark."""
    agenda: Agenda = [(0.2, TimetableDue(0, round(1.5 * RATE))), (0.5, Jump("far"))]
    told = played(script(NINE), agenda, 4)
    assert aired(told)[:3] == [("one", 0, 1), ("carrier", 1, 1.5), ("nine", 1.5, 2.5)]
    entered = [one.frame for one in told if isinstance(one, SegmentEntered)]
    assert entered == [0, RATE]


def test_an_announcement_now_is_heard_at_once_and_the_cut_item_again() -> None:
    """The cut is in the log; nothing of the running order is lost."""
    told = played(script(), [(1.5, Announce("Step back.", now=True))], 6)
    cut = 1.5 + FADE_FRAMES / RATE
    begins = cut + frames_of("static burst") / RATE
    assert aired(told)[:5] == [
        ("one", 0, 1),
        ("two", 1, cut),
        ("static burst", cut, begins),
        ("Step back.", begins, begins + 1),
        ("two", begins + 1, begins + 2),
    ]
    incomplete = [one for one in told if isinstance(one, ItemAired) and not one.complete]
    assert [one.text for one in incomplete[:1]] == ["two"]


def test_an_item_that_was_all_but_over_is_not_sent_again() -> None:
    """It ends by itself within a fade: nobody missed anything."""
    told = played(script(), [(1.99, Announce("Step back.", now=True))], 6)
    assert [text for text, _, _ in aired(told)[:4]] == ["one", "two", "Step back.", "one"]


def test_an_announcement_now_while_an_item_is_awaited() -> None:
    """The item goes out after it."""
    items = TableItems(late={"one": 4})
    told = played(script(), [(0.15, Announce("Step back.", now=True))], 3, items)
    assert [text for text, _, _ in aired(told) if text != "carrier"][:2] == ["Step back.", "one"]


def test_an_announcement_that_is_being_made_is_no_trouble() -> None:
    """Nobody could have prepared it; the carrier covers until it is spoken."""
    items = TableItems(late={"Step back.": 2})
    told = played(script(), [(0.3, Announce("Step back."))], 3, items)
    assert "Step back." in [text for text, _, _ in aired(told)]
    assert not [one for one in told if isinstance(one, Trouble)]


def test_an_announcement_goes_out_whatever_the_timetable_wants() -> None:
    """The operator first: the entry is late."""
    agenda: Agenda = [(0.2, TimetableDue(0, round(1.5 * RATE))), (0.5, Announce("Step back."))]
    told = played(script(NINE), agenda, 4)
    assert aired(told)[:3] == [("one", 0, 1), ("Step back.", 1, 2), ("nine", 2, 3)]


def test_an_announcement_at_stand_by_needs_no_session() -> None:
    """It begins on the frame on which it is given."""
    told = played(script(), [(0.5, EndSession()), (3.0, Announce("Testing."))], 6)
    assert [one for one in aired(told) if one[1] >= 2.9] == [
        ("Testing.", 3, 4),
        ("stand by", 4, 6),
    ]


def test_a_held_session_finishes_its_item_and_waits_under_the_carrier() -> None:
    """As one as-run entry; the running order goes on where it was, on the frame of Resume."""
    told = played(script(), [(0.5, Hold()), (3.25, Resume())], 6)
    assert aired(told)[:3] == [("one", 0, 1), ("held", 1, 3.25), ("two", 3.25, 4.25)]


def test_a_short_hold_within_an_item_is_not_heard() -> None:
    """Only the session's clock stood still."""
    told = played(script(), [(0.2, Hold()), (0.8, Resume())], 3)
    assert [text for text, _, _ in aired(told)] == ["one", "two", "one"]


def test_a_jump_now_under_hold_cuts_the_item_and_waits() -> None:
    """The segment is entered when the session goes on."""
    agenda: Agenda = [(0.2, Hold()), (0.5, Jump("far", JumpTiming.NOW)), (2.0, Resume())]
    entries = aired(played(script(), agenda, 4))
    assert [text for text, _, _ in entries] == ["one", "static burst", "held", "far", "far"]
    assert entries[3][1] == 2.0


def test_as_run_events_tell_what_an_item_belonged_to() -> None:
    """The running order, a hint, the timetable, an announcement."""
    agenda: Agenda = [(0.2, TimetableDue(0)), (0.4, Announce("Step back."))]
    told = played(script(NINE), agenda, 4)
    parts = {one.text: one.part for one in told if isinstance(one, ItemStarted | ItemAired)}
    assert parts == {
        "one": "running order",
        "Step back.": "announcement",
        "nine": "timetable",
        "two": "running order",
    }


AHEAD = (Coming, HintReady, RoundEnds)


def test_who_does_not_look_ahead_hears_the_same() -> None:
    """Without what is told of it, and without asking for what may come."""
    agenda = [(0, StartSession()), (RATE, Announce("Step back.")), (2 * RATE, Jump("gate"))]
    told = []
    for looks_ahead in (True, False):
        items = TableItems()
        playout = Playout(busy_session(), items, seed=3, looks_ahead=looks_ahead)
        for frame, event in agenda:
            playout.receive(event, frame)
        for _ in playout.run(5 * RATE):
            pass
        assert bool(items.expected) is looks_ahead
        told.append([one for one in playout.take_events() if not isinstance(one, AHEAD)])
    assert told[0] == told[1]


@settings(max_examples=60, deadline=None)
@given(
    mark=st.integers(3 * RATE, 10 * RATE),
    lengths=st.dictionaries(st.sampled_from(["one", "two", "far"]), st.floats(0.1, 2.5)),
    jump=st.none() | st.floats(0.0, 10.0),
)
@pytest.mark.parametrize("entry_of", [NINE, PIPS], ids=["nine", "pips"])
def test_a_mark_known_in_time_is_always_landed_on(
    entry_of: object, mark: int, lengths: dict[str, float], jump: float | None
) -> None:
    """Whatever goes out before it, and wherever the operator jumps."""
    lead = 5 * RATE if entry_of is PIPS else 0
    agenda: Agenda = [(0.0, TimetableDue(0, mark + lead))]
    if jump is not None:
        agenda.append((jump, Jump("far", JumpTiming.NOW)))
    told = played(script(entry_of), agenda, 14, CountedItems(lengths))
    begun = [
        one.start_frame for one in told if isinstance(one, ItemAired) and one.part == "timetable"
    ]
    cut_short = jump is not None and abs(jump * RATE - mark) <= FADE_FRAMES
    if not cut_short:
        assert begun[0] == mark
