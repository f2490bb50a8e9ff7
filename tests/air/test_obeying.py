"""What comes in while a station is on air is obeyed at once, and comes to the same as rehearsed."""

import numpy as np
from hypothesis import given, settings
from hypothesis import strategies as st

from broadcaster.air.broadcast import Broadcast
from broadcaster.air.playout import Playout
from broadcaster.record.asrun import record_line
from broadcaster.script.programme import Morse
from broadcaster.story.events import (
    Announce,
    EndSession,
    FactChanged,
    GiveHint,
    Hold,
    InEvent,
    ItemStarted,
    Jump,
    JumpTiming,
    Keyed,
    OutEvent,
    PlainVoice,
    Resume,
    SetFact,
    StartSession,
    StopPlainVoice,
    TimetableDue,
)
from broadcaster.units import RATE, Samples, frames_from_seconds
from tests.air.make import SHORTWAVE, CountedItems, TableItems, busy_session, on_air
from tests.story import make as story

LENGTH = 3 * RATE
EVENTS: tuple[InEvent, ...] = (
    Jump("gate", JumpTiming.NOW),
    Jump("watch"),
    SetFact("lamp", True, "room"),
    SetFact("lamp", False, "room"),
    SetFact("crates", 3, "room"),
    SetFact("crates", 9, "room"),
    SetFact("crates", 1, "room", progress=False),
    GiveHint(),
    Announce("Step back.", now=True),
    Announce("Thank you."),
    Hold(),
    Resume(),
    TimetableDue(1, 100_003),
    PlainVoice(),
    StopPlainVoice(),
    EndSession(),
    StartSession(),
)
STEPS = st.lists(
    st.tuples(st.integers(1, 20_000), st.lists(st.sampled_from(EVENTS), max_size=3)), max_size=12
)


def log_of(events: list[OutEvent]) -> list[str]:
    """What stands in the as-run log."""
    return [line for event in events if (line := record_line(event))]


def live(steps: list[tuple[int, list[InEvent]]]) -> tuple[Samples, list[OutEvent], list[int]]:
    """A broadcast in which each event is obeyed as it comes, and the frame at which each came."""
    broadcast = Broadcast(on_air(busy_session(), SHORTWAVE), TableItems(), seed=7, length=LENGTH)
    blocks, told, came = [], [], []
    for frames, events in [(0, [StartSession()]), *steps, (LENGTH, [])]:
        blocks.append(broadcast.render(frames))
        for event in events:
            came.append(broadcast._playout.frame)
            broadcast.receive(event)
            broadcast.obey()
            told += broadcast.take_events()
    return np.concatenate(blocks), told + broadcast.take_events(), came


@settings(max_examples=15, deadline=None)
@given(STEPS)
def test_what_is_obeyed_at_once_is_what_is_rehearsed(steps) -> None:
    """Each event one by one, between any two blocks: the same samples and log, bit for bit, as
    when all are known beforehand, on the same frames."""
    samples, told, came = live(steps)
    broadcast = Broadcast(on_air(busy_session(), SHORTWAVE), TableItems(), seed=7, length=LENGTH)
    events = [StartSession(), *(event for _, some in steps for event in some)]
    for frame, event in zip(came, events, strict=True):
        broadcast.receive(event, frame)
    np.testing.assert_array_equal(broadcast.render(LENGTH), samples)
    assert log_of(broadcast.take_events()) == log_of(told)


def test_a_fact_is_told_before_a_frame_is_rendered() -> None:
    """The answer to an event that has come waits for no block."""
    broadcast = Broadcast(on_air(busy_session(), SHORTWAVE), TableItems())
    broadcast.receive(SetFact("crates", 2, "room"))
    broadcast.obey()
    (changed,) = [event for event in broadcast.take_events() if isinstance(event, FactChanged)]
    assert (changed.fact, changed.value, broadcast.frame) == ("crates", 2, 0)


def test_nothing_is_obeyed_when_all_is_over() -> None:
    """Past its length a broadcast says nothing more."""
    playout = Playout(busy_session(), CountedItems(), length=100)
    list(playout.run(200))
    playout.take_events()
    playout.receive(StartSession())
    playout.obey()
    assert playout.take_events() == []


def test_a_fact_may_change_without_showing_that_the_team_gets_on() -> None:
    """`quiet time` goes on, where one that counts as progress would begin it anew."""
    segments = {
        "watch": story.segment(
            story.say("one"), exits=({"to": "late", "when": "quiet time >= 3 s", "at once": "yes"},)
        ),
        "late": story.segment(story.say("late")),
    }

    def entered_late(*, progress: bool) -> bool:
        programme = story.programme(segments, facts={"crates": 0})
        playout = Playout(programme, CountedItems(), length=4 * RATE)
        playout.receive(StartSession())
        playout.receive(SetFact("crates", 1, "room", progress), 2 * RATE)
        list(playout.run(4 * RATE))
        started = [event for event in playout.take_events() if isinstance(event, ItemStarted)]
        return any(event.text == "late" for event in started)

    assert entered_late(progress=False)
    assert not entered_late(progress=True)


# --- the key ------------------------------------------------------------------------------------


def keyed(programme) -> list[OutEvent]:
    playout = Playout(programme, CountedItems(), length=8 * RATE)
    playout.receive(StartSession(), 500)
    list(playout.run(8 * RATE))
    return playout.take_events()


def test_the_key_of_morse_is_told_as_the_item_goes_on_air() -> None:
    """Each mark of each time the item is sent, from its first frame on; speech has no key."""
    morse = Morse(morse="ET", speed=12.0, times=2)
    told = keyed(story.programme({"watch": story.segment(story.say("one"), morse)}))
    dot = frames_from_seconds(1.2 / 12)  # by the word PARIS; Rec. ITU-R M.1677-1, 2
    starts = [e.start_frame for e in told if isinstance(e, ItemStarted) and e.item == "morse"]
    assert len(starts) > 1
    marks = ((0, dot), (4 * dot, 7 * dot))  # E, a letter's gap, T
    assert [event for event in told if isinstance(event, Keyed)] == [
        Keyed(start, marks) for start in starts
    ]


def test_the_key_is_no_entry_of_the_log() -> None:
    """It is for the moment: what was sent stands in the item's own entry."""
    assert record_line(Keyed(0, ((0, 1),))) is None
