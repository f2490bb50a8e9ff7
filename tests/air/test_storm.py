"""Whatever comes in, whenever: the broadcast goes on, frame for frame, and always the same."""

from itertools import pairwise

import hypothesis.strategies as st
from hypothesis import given, settings

from broadcaster.air.playout import Playout
from broadcaster.story.events import (
    Announce,
    EndSession,
    FactChanged,
    GiveHint,
    Hold,
    InEvent,
    ItemAired,
    Jump,
    JumpTiming,
    OutEvent,
    PlainVoice,
    ResetSession,
    RestoreSession,
    Resume,
    SetFact,
    StartSession,
    StopPlainVoice,
    TakeBackAnnouncement,
    TakeBackHint,
    TakeBackJump,
    TimetableDue,
)
from broadcaster.units import RATE
from tests.air.make import TableItems, busy_session

LENGTH = 8 * RATE
VALUES = st.one_of(st.booleans(), st.integers(-2, 6), st.sampled_from(["", "open"]))
EVENTS = st.one_of(
    st.sampled_from(
        [
            *(StartSession(), EndSession(), ResetSession(), RestoreSession(), Hold(), Resume()),
            *(GiveHint(), TakeBackHint(), TakeBackJump(), TakeBackAnnouncement()),
            StopPlainVoice(),
        ]
    ),
    st.builds(Jump, st.sampled_from(["watch", "gate", "nowhere"]), st.sampled_from(JumpTiming)),
    st.builds(SetFact, st.sampled_from(["lamp", "crates", "lump"]), VALUES),
    st.builds(Announce, st.sampled_from(["Step back.", "", "{lamp}"]), st.booleans()),
    st.builds(PlainVoice, st.sampled_from(["", "Stand still.", "green"])),
    st.builds(TimetableDue, st.integers(-1, 3), st.none() | st.integers(0, LENGTH)),
)
AGENDAS = st.lists(st.tuples(st.integers(0, LENGTH), EVENTS), max_size=25)


def played(agenda: list[tuple[int, InEvent]], cuts: list[int]) -> list[OutEvent]:
    """All that is told; the session starts on frame 100."""
    items = TableItems(failing=["green"], late={"quarter": 2, "Step back.": 3, "Stand still.": 5})
    playout = Playout(busy_session(), items, seed=1, length=LENGTH, looks_ahead=False)
    for frame, event in [(100, StartSession()), *agenda]:
        playout.receive(event, frame)
    steps = 0
    while playout.frame < LENGTH:
        for stretch in playout.run(playout.frame + cuts[steps % len(cuts)]):
            assert stretch.start < stretch.stop
        steps += 1
    return playout.take_events()


@settings(max_examples=100, deadline=None)
@given(AGENDAS, st.lists(st.integers(1, 60_000), min_size=1, max_size=4))
def test_no_storm_of_events_breaks_a_broadcast(
    agenda: list[tuple[int, InEvent]], cuts: list[int]
) -> None:
    """Each frame lies in one as-run entry, facts keep their bounds, any cutting tells the same."""
    told = played(agenda, [LENGTH])
    entries = [event for event in told if isinstance(event, ItemAired)]
    assert entries[0].start_frame == 0
    assert entries[-1].end_frame == LENGTH
    assert all(one.end_frame == other.start_frame for one, other in pairwise(entries))
    crates = [one.value for one in told if isinstance(one, FactChanged) and one.fact == "crates"]
    assert all(0 <= value <= 4 for value in crates if not isinstance(value, str))
    assert played(agenda, [max(cut, 2_000) for cut in cuts]) == told
