"""The broadcast as a stream: every frame once, events on their frames, cuts under static."""

from itertools import pairwise

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given, settings

from broadcaster.air.broadcast import FADE_FRAMES, Broadcast
from broadcaster.period.reception import Reception
from broadcaster.script.programme import Programme
from broadcaster.script.sounds import Sound
from broadcaster.story.events import (
    Announce,
    FactChanged,
    GiveHint,
    Held,
    HintGiven,
    Hold,
    InEvent,
    ItemAired,
    Jump,
    JumpTiming,
    JumpWaiting,
    MilestoneMet,
    MilestoneOverdue,
    OutEvent,
    Part,
    PlainVoice,
    PlainVoiceStarted,
    PlainVoiceStopped,
    Refused,
    Resume,
    Resumed,
    SegmentEntered,
    SessionStarted,
    SetFact,
    Stalled,
    StartSession,
    StopPlainVoice,
    TimetableDropped,
    TimetableDue,
    Trouble,
)
from broadcaster.units import RATE, Samples
from tests.air.make import (
    CLEAN,
    SHORTWAVE,
    TableItems,
    busy_session,
    on_air,
    tone_for,
    watch_and_gate,
)

LENGTH = 3 * RATE
AGENDA: tuple[tuple[int, InEvent], ...] = (
    (4_801, StartSession()),
    (20_000, Jump("watch", JumpTiming.NOW)),
    (70_001, SetFact("lamp", True)),
    (90_000, SetFact("crates", 3)),
)


def play(
    cuts: list[int],
    sound: Sound = SHORTWAVE,
    items: TableItems | None = None,
    length: int = LENGTH,
    agenda: tuple[tuple[int, InEvent], ...] = AGENDA,
    programme: Programme | None = None,
) -> tuple[Samples, list[OutEvent]]:
    """The whole broadcast in blocks of the given sizes, over and over."""
    source = items or TableItems()
    script = on_air(programme or watch_and_gate(), sound)
    broadcast = Broadcast(script, source, seed=7, length=length)
    for frame, event in agenda:
        broadcast.receive(event, frame)
    blocks: list[Samples] = []
    while not broadcast.over:
        blocks.append(broadcast.render(cuts[len(blocks) % len(cuts)]))
    return np.concatenate(blocks), broadcast.take_events()


WHOLE, WHOLE_EVENTS = play([LENGTH])


@settings(max_examples=25, deadline=None)
@given(st.lists(st.integers(1, 65_536), min_size=1, max_size=8))
def test_any_cutting_into_blocks_gives_the_same_samples_and_events(cuts: list[int]) -> None:
    """1 to 65,536 frames a block: the same bits, the same as-run entries."""
    if max(cuts) < 64:
        cuts = [*cuts, 5_000]
    samples, events = play(cuts)
    np.testing.assert_array_equal(samples, WHOLE)
    assert aired(events) == aired(WHOLE_EVENTS)


BUSY_LENGTH = 6 * RATE
BUSY: tuple[tuple[int, InEvent], ...] = (
    (4_801, StartSession()),
    (30_000, GiveHint()),
    (60_007, Announce("Step back.", now=True)),
    (90_000, TimetableDue(1, 215_003)),
    (110_000, Hold()),
    (121_111, SetFact("crates", 9, "room")),
    (140_001, Resume()),
    (150_000, SetFact("lamp", True, "room")),
    (160_000, Jump("watch")),
    (230_000, Announce("Thank you.")),
    (255_001, PlainVoice()),
    (271_003, StopPlainVoice()),
    (275_000, Resume()),
)


def play_busy(cuts: list[int]) -> tuple[Samples, list[OutEvent]]:
    """A broadcast of everything that a script and an operator can do."""
    return play(cuts, programme=busy_session(), length=BUSY_LENGTH, agenda=BUSY)


BUSY_WHOLE, BUSY_EVENTS = play_busy([BUSY_LENGTH])


@settings(max_examples=12, deadline=None)
@given(st.lists(st.integers(1, 65_536), min_size=1, max_size=8))
def test_any_cutting_of_a_busy_session_gives_the_same_samples_and_events(cuts: list[int]) -> None:
    """Milestones, hints, the timetable, announcements and holding fall on the same frames."""
    if max(cuts) < 64:
        cuts = [*cuts, 5_000]
    samples, events = play_busy(cuts)
    np.testing.assert_array_equal(samples, BUSY_WHOLE)
    assert events == BUSY_EVENTS


def test_the_busy_session_is_busy() -> None:
    """Every kind of event that a story can tell is in it, the end of a session aside."""
    told = {type(event) for event in BUSY_EVENTS}
    assert told >= {
        SessionStarted,
        Held,
        Resumed,
        SegmentEntered,
        JumpWaiting,
        FactChanged,
        MilestoneMet,
        MilestoneOverdue,
        Stalled,
        HintGiven,
        TimetableDropped,
        PlainVoiceStarted,
        PlainVoiceStopped,
        Refused,
    }
    parts = {entry.part for entry in aired(BUSY_EVENTS)}
    assert parts == {part.value for part in Part}
    assert [entry.start_frame for entry in aired(BUSY_EVENTS) if entry.text == "2 pips"] == [
        215_003 - RATE
    ]


def test_one_frame_at_a_time_is_the_same_too() -> None:
    """The smallest block of all, over the first item's border.

    The last frames aside: the filters look ahead, and there is nothing behind the end.
    """
    samples, _ = play([1], length=8_000)
    np.testing.assert_array_equal(samples[:7_000], WHOLE[:7_000])


def aired(events: list[OutEvent]) -> list[ItemAired]:
    return [event for event in events if isinstance(event, ItemAired)]


def test_the_as_run_entries_tile_the_broadcast() -> None:
    """From frame 0 to the last, each frame lies in exactly one entry."""
    entries = aired(WHOLE_EVENTS)
    assert entries[0].start_frame == 0
    assert entries[-1].end_frame == LENGTH == len(WHOLE)
    for before, after in pairwise(entries):
        assert after.start_frame == before.end_frame


def test_events_are_obeyed_on_their_frames() -> None:
    """A session that is placed on frame 4,801 starts there, not at a block's border."""
    entered = [event for event in WHOLE_EVENTS if isinstance(event, SegmentEntered)]
    assert entered[0] == SegmentEntered(4_801, "watch", "the opening")
    assert entered[1].frame == 20_000 + FADE_FRAMES
    assert entered[2].frame == 70_001 + FADE_FRAMES


def test_items_sound_from_their_first_frame_to_their_last() -> None:
    """Through a clean sound, the output correlates best with the item at its as-run frames."""
    samples, events = play([1000], sound=CLEAN)
    entry = next(entry for entry in aired(events) if entry.text == "one")
    item = tone_for(*item_and_text("one"))
    lags = range(-20, 21)
    match = [
        float(np.dot(samples[entry.start_frame + lag :][: len(item) // 2], item[: len(item) // 2]))
        for lag in lags
    ]
    assert abs(lags[int(np.argmax(match))]) <= 8  # the transmitter's own filters lag a little


def item_and_text(text: str) -> tuple:
    item = next(item for item in watch_and_gate().segments["watch"].play if item.say.source == text)
    return item, text


def test_a_jump_now_fades_the_item_and_is_marked_in_the_log() -> None:
    """The cut item ends one fade after the event, incomplete; a clue that is cut says so."""
    cut = [entry for entry in aired(WHOLE_EVENTS) if not entry.complete]
    assert [entry.end_frame for entry in cut[:2]] == [20_000 + FADE_FRAMES, 70_001 + FADE_FRAMES]


def test_a_cut_makes_no_click(monkeypatch: pytest.MonkeyPatch) -> None:
    """Without the static that covers it, a cut has no step larger than the items have."""
    monkeypatch.setattr(Reception, "give_way", lambda self, kind, frame: None)
    samples, _ = play([1000], sound=CLEAN)
    steps = np.abs(np.diff(samples))
    around = steps[20_000 - 100 : 20_000 + FADE_FRAMES]
    assert around.max() <= 1.05 * steps[6_000:18_000].max()


def test_static_bursts_over_a_cut() -> None:
    """The moment of a jump is louder in noise than the same sound a second before."""
    samples, _ = play([1000], sound=CLEAN)
    steps = np.diff(samples)
    quiet, burst = steps[10_000:18_000], steps[22_000:31_000]
    assert np.std(burst) > 1.5 * np.std(quiet)


def test_an_item_that_fails_is_covered_by_the_carrier_and_told() -> None:
    """The carrier stands in; a Trouble names the item; the programme goes on."""
    samples, events = play(
        [777], items=TableItems(failing=["one"]), agenda=((0, StartSession()),), length=4 * RATE
    )
    kinds = [(entry.item, entry.text) for entry in aired(events)]
    assert kinds[:2] == [("carrier", "carrier"), ("say", "two")]
    trouble = next(event for event in events if isinstance(event, Trouble))
    assert trouble.sentence == "The say 'one' cannot be spoken; the carrier stands in."
    assert np.abs(samples[RATE : 2 * RATE]).max() > 0, "dead air"


def test_a_late_item_is_waited_for_under_the_carrier() -> None:
    """The carrier covers in slices until the item is ready; nothing of the item is lost."""
    _, events = play(
        [500], items=TableItems(late={"one": 3}), agenda=((0, StartSession()),), length=2 * RATE
    )
    entries = aired(events)
    assert [entry.item for entry in entries[:4]] == ["carrier", "carrier", "carrier", "say"]
    assert entries[3].end_frame - entries[3].start_frame == len(tone_for(*item_and_text("one")))
    assert [event.sentence for event in events if isinstance(event, Trouble)] == [
        "The say 'one' is not ready yet; the carrier stands in."
    ]


def test_an_item_that_is_hardly_late_is_no_trouble() -> None:
    """It is covered by one slice of the carrier, and nothing is told of it."""
    items = TableItems(late={"one": 1})
    _, events = play([500], items=items, agenda=((0, StartSession()),), length=2 * RATE)
    assert [entry.item for entry in aired(events)[:2]] == ["carrier", "say"]
    assert not [event for event in events if isinstance(event, Trouble)]


def test_an_item_that_never_comes_is_given_up() -> None:
    """After ten seconds the story goes on without it."""
    _, events = play(
        [4800],
        items=TableItems(late={"one": 10**6}),
        agenda=((0, StartSession()),),
        length=14 * RATE,
    )
    assert "say" in [entry.item for entry in aired(events)]
    assert any("after 10 s" in event.sentence for event in events if isinstance(event, Trouble))


def test_a_jump_rescues_from_a_late_item() -> None:
    """What is waited for is forgotten when the story moves elsewhere."""
    _, events = play(
        [500],
        items=TableItems(late={"one": 10**6}),
        agenda=((0, StartSession()), (10_000, Jump("gate", JumpTiming.NOW))),
        length=2 * RATE,
    )
    assert "gate" in [entry.text for entry in aired(events)]


def test_what_may_come_is_expected_ahead() -> None:
    """The next cues, and the first cue of every segment, are asked for before they are due."""
    items = TableItems()
    play([1000], items=items, agenda=((0, StartSession()),), length=RATE)
    texts = [[cue.text for cue in cues] for cues in items.expected]
    assert all({"one", "gate"} <= set(cues) for cues in texts[1:])


def test_at_stand_by_the_opening_is_expected() -> None:
    """Whoever starts a session does not wait for its first item."""
    items = TableItems()
    play([1000], items=items, agenda=(), length=RATE)
    assert [[cue.text for cue in cues] for cues in items.expected] == [["one"]]


def test_finish_ends_a_broadcast_of_unknown_length() -> None:
    """After finish() what is composed is rendered, and the log ends where the samples end."""
    broadcast = Broadcast(on_air(watch_and_gate(), SHORTWAVE), TableItems(), seed=1)
    broadcast.receive(StartSession())
    broadcast.render(5_000)
    broadcast.finish()
    rest = broadcast.render(100_000)
    assert broadcast.over
    assert aired(broadcast.take_events())[-1].end_frame == 5_000 + len(rest)


def test_the_seed_changes_the_static_and_nothing_else() -> None:
    """Another seed: other samples, the same as-run entries."""
    broadcast = Broadcast(on_air(watch_and_gate(), SHORTWAVE), TableItems(), seed=8, length=LENGTH)
    for frame, event in AGENDA:
        broadcast.receive(event, frame)
    samples = broadcast.render(LENGTH)
    assert not np.array_equal(samples, WHOLE)
    assert aired(broadcast.take_events()) == aired(WHOLE_EVENTS)


def test_a_programme_without_its_sound_is_refused() -> None:
    """Only a programme that the reader has completed can go on air."""
    with pytest.raises(ValueError, match="no period sound"):
        Broadcast(watch_and_gate(), TableItems())
