"""How what goes out is to be received: dials that turn, and transitions, each on its frame."""

from itertools import pairwise

import numpy as np
import pytest

from broadcaster.air.broadcast import SIGNAL_GLIDE_FRAMES, Broadcast
from broadcaster.air.playout import FADE_FRAMES, Playout
from broadcaster.period.conditions import AS_WRITTEN
from broadcaster.period.lengths import frames_of, whole_frames_of
from broadcaster.period.reception import Reception
from broadcaster.script.programme import Morse, Programme
from broadcaster.story.events import (
    Announce,
    EndSession,
    InEvent,
    ItemAired,
    Jump,
    JumpTiming,
    OutEvent,
    SetFact,
    SetReadability,
    SetSignal,
    SignalChanged,
    StartSession,
    TimetableDue,
)
from broadcaster.transmitter.transmitter import transmitter_of
from broadcaster.units import RATE, Samples, silence
from tests.air.make import SHORTWAVE, CountedItems, TableItems, on_air, tone_for
from tests.story.make import entry, pause, programme, say, segment

LENGTH = 3 * RATE
Agenda = list[tuple[int, InEvent]]
ITEMS = {"say": say("x"), "pause": pause("1 s")}


def three(**station: object) -> Programme:
    """Three items and a pause over and over, and a segment that begins with a clue."""
    return programme(
        {
            "watch": segment(say("one"), say("two"), pause("200 ms"), say("three")),
            "far": segment(say("far", clue="far")),
            "near": segment(say("near")),
        },
        facts={"crates": 5},
        timetable=(entry(say("nine"), daily="21:00"),),
        **station,
    )


# --- dials, against a reception that is driven by hand -------------------------------------------


def sent(script: Programme, items: TableItems, agenda: Agenda) -> tuple[Samples, list[OutEvent]]:
    broadcast = Broadcast(on_air(script, SHORTWAVE), items, seed=5, length=LENGTH)
    for frame, event in agenda:
        broadcast.receive(event, frame)
    return broadcast.render(LENGTH), broadcast.take_events()


def by_hand(
    events: list[OutEvent], turns: list[tuple[int, dict[str, float]]], script: Programme
) -> Samples:
    """The same items at the same frames, and these turns of the dials."""
    reception = Reception(SHORTWAVE, 5)
    transmitter = transmitter_of(on_air(script, SHORTWAVE))
    latency = reception.latency + transmitter.latency
    dry = silence(LENGTH + latency)
    for one in aired(events):
        if one.item in ITEMS:
            tone = tone_for(ITEMS[one.item], one.text)
            dry[one.start_frame : one.end_frame] = tone[: one.end_frame - one.start_frame]
    for frame, dials in turns:
        reception.set(frame, **dials)  # type: ignore[arg-type]
    return transmitter.process(reception.process(dry, 0), 0)[latency:]


def aired(events: list[OutEvent]) -> list[ItemAired]:
    return [one for one in events if isinstance(one, ItemAired)]


def begins(events: list[OutEvent], text: str) -> list[int]:
    return [one.start_frame for one in aired(events) if one.text == text]


def test_roughness_glides_from_an_items_first_frame_on() -> None:
    """What an item wants begins with it; one that wants nothing has the table's, a pause the last.

    To the bit what a reception does whose dial is turned on those frames.
    """
    items = TableItems(solved={"one": (0.5, 4.0), "two": (1.4, 2.0)})
    watch = segment(
        say("one", readability=4), say("two", readability=2), pause("200 ms"), say("three")
    )
    script = programme({"watch": watch})
    samples, events = sent(script, items, [(4_801, StartSession())])
    turns = [
        (frame, {"roughness": roughness})
        for text, roughness in (("one", 0.5), ("two", 1.4), ("three", AS_WRITTEN))
        for frame in begins(events, text)
    ]
    assert len(turns) > 3
    np.testing.assert_array_equal(samples, by_hand(events, sorted(turns), script))


def test_the_signal_glides_from_the_frame_of_its_change() -> None:
    """In the middle of an item; what the operator says, too; and the log has the same frames."""
    script = three(signal="crates")
    agenda: Agenda = [
        (4_801, StartSession()),
        (40_001, SetFact("crates", 2)),
        (90_003, SetSignal(4.5)),
    ]
    samples, events = sent(script, TableItems(), agenda)
    turns = [
        (frame, {"strength": strength, "glide_frames": SIGNAL_GLIDE_FRAMES})
        for frame, strength in ((40_001, 2.0), (90_003, 4.5))
    ]
    told = [one for one in events if isinstance(one, SignalChanged)]
    assert [(one.frame, one.strength) for one in told] == [(40_001, 2.0), (90_003, 4.5)]
    np.testing.assert_array_equal(samples, by_hand(events, turns, script))


def test_a_weak_station_is_weak_from_the_first_frame() -> None:
    """Before any session and any event."""
    script = three(signal="1")
    _, events = sent(script, TableItems(), [])
    assert SignalChanged(0, 1.0, "the script") in events


@pytest.mark.parametrize("cuts", [[7, 333, 4_096], [LENGTH]], ids=str)
def test_any_cutting_turns_the_dials_on_the_same_frames(cuts: list[int]) -> None:
    """Signal, readability and transitions, in blocks of any size."""
    items = TableItems(solved=dict.fromkeys(("one", "two", "three", "far"), (0.6, 4.0)))
    script = on_air(three(signal="crates", readability=4, transition="fade"), SHORTWAVE)
    agenda: Agenda = [
        (2_000, StartSession()),
        (5_001, SetFact("crates", 2)),
        (9_000, Jump("far", JumpTiming.NOW)),
    ]

    def in_blocks(sizes: list[int]) -> Samples:
        broadcast = Broadcast(script, items, seed=5, length=LENGTH)
        for frame, event in agenda:
            broadcast.receive(event, frame)
        blocks: list[Samples] = []
        while not broadcast.over:
            blocks.append(broadcast.render(sizes[len(blocks) % len(sizes)]))
        return np.concatenate(blocks)

    np.testing.assert_array_equal(in_blocks(cuts), in_blocks([50_000]))


# --- which roughness ------------------------------------------------------------------------------


def roughnesses(script: Programme, items: TableItems, agenda: Agenda) -> list[tuple[str, object]]:
    """What went on air, and the roughness from then on; the carrier at stand by aside."""
    playout = Playout(script, items, length=LENGTH)
    for frame, event in agenda:
        playout.receive(event, frame)
    begun = [stretch.on_air for stretch in playout.run(LENGTH) if stretch.begins]
    return [(one.cue.text, one.roughness) for one in begun if one.cue.text != "stand by"]


def test_an_announcement_has_what_was_worked_out_last() -> None:
    """For the readability nearest to what it should have; before anything was, the table's."""
    items = TableItems(solved={"one": (0.5, 4.0), "two": (1.4, 2.0)})
    watch = segment(say("one", readability=4), say("two", readability=2))
    script = programme({"watch": watch}, readability=3.5)
    agenda: Agenda = [(0, Announce("soon")), (48_000, StartSession()), (60_000, Announce("now"))]
    found = dict(roughnesses(script, items, agenda))
    assert found == {"soon": AS_WRITTEN, "one": 0.5, "two": 1.4, "now": 0.5}


def test_tones_are_no_rougher_than_speech() -> None:
    """Else the bed would leap; gentler where a clue needs it, and as they are asked to be."""
    solved = {"speech": (1.2, 4.0), "A": (1.8, 4.0), "B": (0.9, 4.0), "C": (1.8, 2.0)}
    keys = [
        Morse(morse="A", clue="a"),
        Morse(morse="B", clue="b"),
        Morse(morse="C", readability=2),
        Morse(morse="D"),
    ]
    script = programme({"watch": segment(say("speech"), *keys)}, readability=4)
    found = roughnesses(script, TableItems(solved=solved), [(0, StartSession())])
    assert found[:5] == [("speech", 1.2), ("A", 1.2), ("B", 0.9), ("C", 1.8), ("D", 1.2)]


def test_the_operators_readability_is_asked_for_ahead() -> None:
    """From its frame on, what is expected is expected at the new readability."""
    items = TableItems()
    agenda: Agenda = [(0, StartSession()), (10_000, SetReadability(5.0))]
    roughnesses(three(readability=3), items, agenda)
    wanted = [{cue.content.readability for cue in cues} for cues in items.expected]
    assert {3.0, None} in wanted, "None for the pause"
    assert wanted[-1] == {5.0, None}


def test_the_log_tells_how_readable_a_clue_was() -> None:
    """As it was predicted when the item was made; nothing is told of what was not worked out."""
    items = TableItems(solved={"far": (0.7, 3.9)})
    script = three(readability=4)
    _, events = sent(script, items, [(0, StartSession()), (1_000, Jump("far"))])
    told = {one.text: one.readability for one in aired(events)}
    assert told == {"one": None, "far": 3.9}


# --- transitions ----------------------------------------------------------------------------------


def played(script: Programme, agenda: Agenda, seconds: float = 6.0) -> list[ItemAired]:
    playout = Playout(script, CountedItems(), length=round(seconds * RATE))
    for frame, event in [(0, StartSession()), *agenda]:
        playout.receive(event, frame)
    for _ in playout.run(round(seconds * RATE)):
        pass
    entries = aired(playout.take_events())
    assert all(one.end_frame == other.start_frame for one, other in pairwise(entries))
    return entries


def told(entries: list[ItemAired], count: int) -> list[tuple[str, float]]:
    return [(one.text, one.start_frame / RATE) for one in entries[:count]]


def test_a_transition_lies_between_two_segments() -> None:
    """After the whole of the old item, before the new one, with an entry of its own."""
    entries = played(three(transition="carrier drop"), [(1_000, Jump("near"))])
    gone = frames_of("carrier drop") / RATE
    assert told(entries, 4) == [
        ("one", 0.0),
        ("carrier drop", 1.0),
        ("near", 1.0 + gone),
        ("near", 2.0 + gone),
    ]
    between = entries[1]
    assert (between.item, between.part, between.segment) == ("carrier", "transition", "near")


def test_a_clue_waits_until_nothing_of_it_is_hidden() -> None:
    """Longer than what is no clue, into which the transition may fade."""
    entries = played(three(transition="fade"), [(1_000, Jump("far"))])
    assert entries[2].start_frame == RATE + whole_frames_of("fade")
    assert whole_frames_of("fade") > frames_of("fade")


def test_static_covers_a_cut_unless_something_else_was_chosen() -> None:
    """The item fades, then the transition begins; a `cut` is nothing but the fade."""
    at = 20_000
    for station, jump, heard in (
        (None, None, "static burst"),
        ("fade", None, "fade"),
        ("fade", "retune sweep", "retune sweep"),
        ("fade", "cut", None),
    ):
        options = {"transition": station} if station else {}
        agenda: Agenda = [(at, Jump("near", JumpTiming.NOW, jump))]  # type: ignore[arg-type]
        entries = played(three(**options), agenda)
        between = entries[1].text if entries[1].part == "transition" else None
        assert between == heard
        assert entries[1].start_frame == at + FADE_FRAMES


def test_reception_gives_way_on_the_first_frame_between(monkeypatch: pytest.MonkeyPatch) -> None:
    """Whatever was chosen is heard where the as-run entry begins."""
    given: list[tuple[str, int]] = []
    monkeypatch.setattr(Reception, "give_way", lambda _, kind, frame: given.append((kind, frame)))
    script = three(transition="retune sweep")
    agenda: Agenda = [(0, StartSession()), (1_000, Jump("near")), (70_000, EndSession())]
    _, events = sent(script, TableItems(), agenda)
    between = [(one.text, one.start_frame) for one in aired(events) if one.part == "transition"]
    assert given == between
    assert len(given) == 2


def test_what_the_timetable_puts_in_does_not_wait() -> None:
    """It lands on its frame; and where a transition has no room before one, there is none."""
    drop = three(transition="carrier drop")
    on_mark: Agenda = [(1_000, Jump("near")), (1_000, TimetableDue(0, RATE))]
    assert told(played(drop, on_mark), 3) == [("one", 0.0), ("nine", 1.0), ("near", 2.0)]
    no_room: Agenda = [(1_000, Jump("near")), (1_000, TimetableDue(0, RATE + 30_000))]
    assert told(played(drop, no_room), 3) == [("one", 0.0), ("carrier", 1.0), ("nine", 1.625)]
    room: Agenda = [(1_000, Jump("near")), (1_000, TimetableDue(0, 3 * RATE))]
    assert [text for text, _ in told(played(drop, room), 4)] == [
        "one",
        "carrier drop",
        "carrier",
        "nine",
    ]


def test_a_transition_is_never_cut() -> None:
    """A jump or an announcement that comes in between waits until it has passed."""
    drop = three(transition="carrier drop")
    gone = 1.0 + frames_of("carrier drop") / RATE
    agenda: Agenda = [(1_000, Jump("near")), (60_000, Announce("Step back.", now=True))]
    assert told(played(drop, agenda), 4) == [
        ("one", 0.0),
        ("carrier drop", 1.0),
        ("Step back.", gone),
        ("near", gone + 1.0),
    ]
    agenda = [(1_000, Jump("near")), (60_000, Jump("far", JumpTiming.NOW, "cut"))]
    assert told(played(drop, agenda), 3) == [("one", 0.0), ("carrier drop", 1.0), ("far", gone)]


def test_the_end_of_a_session_gives_way_to_the_carrier() -> None:
    """And the opening to nothing: before it there was no segment."""
    entries = played(three(transition="carrier drop"), [(10_000, EndSession())])
    assert [one.text for one in entries] == ["one", "carrier drop", "stand by"]
