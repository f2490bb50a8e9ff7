"""The plain voice's way past the period's sound, from the event to the samples."""

from itertools import pairwise

import hypothesis.strategies as st
import numpy as np
from hypothesis import given, settings

from broadcaster.air.plain_path import CROSS_FRAMES, PLAIN_GAIN, PlainPath
from broadcaster.air.playout import FADE_FRAMES, PLAIN_PATIENCE_FRAMES
from broadcaster.script.plain_voice import LEAVE_THE_ROOM
from broadcaster.story.cue import prepared_plainly
from broadcaster.story.events import (
    InEvent,
    ItemAired,
    OutEvent,
    Part,
    PlainVoice,
    StartSession,
    StopPlainVoice,
    Trouble,
)
from broadcaster.story.plain_voice import REST_S
from broadcaster.transmitter.transmitter import transmitter_of
from broadcaster.units import RATE, silence
from tests.air.make import SHORTWAVE, TableItems, on_air, tone_for, watch_and_gate
from tests.air.test_broadcast import play

LEAVE = LEAVE_THE_ROOM["en"]
LATENCY = 100


def plainly(events: list[OutEvent]) -> list[ItemAired]:
    return [
        event for event in events if isinstance(event, ItemAired) and event.part == Part.PLAIN_VOICE
    ]


# --- the path -----------------------------------------------------------------------------------


def test_at_rest_the_path_does_nothing() -> None:
    """The broadcast itself comes out, not a copy."""
    received = np.ones(500, dtype=np.float32)
    assert PlainPath(LATENCY).process(received, None, []) is received


def test_the_speech_is_in_step_with_the_broadcast_and_nothing_of_that_is_left() -> None:
    """As late as the broadcast; between the crossings the speech alone."""
    path = PlainPath(LATENCY)
    received = np.ones(20_000, dtype=np.float32)
    speech = silence(20_000)
    speech[5_000:9_000] = 0.1
    heard = path.process(received, speech, [slice(4_000, 12_000)])
    np.testing.assert_array_equal(heard[: 4_000 + LATENCY], 1.0)
    alone = heard[4_000 + LATENCY + CROSS_FRAMES : 12_000 + LATENCY]
    expected = speech[4_000 + CROSS_FRAMES : 12_000] * PLAIN_GAIN
    np.testing.assert_allclose(alone, expected, rtol=1e-6)
    np.testing.assert_array_equal(heard[12_000 + LATENCY + CROSS_FRAMES :], 1.0)
    assert np.abs(np.diff(heard[12_000:13_500])).max() < 1.5 / CROSS_FRAMES, "no step"


@settings(max_examples=30, deadline=None)
@given(
    st.lists(st.integers(1, 3_000), min_size=1, max_size=8),
    st.lists(st.integers(0, 12_000), min_size=2, max_size=6, unique=True),
)
def test_any_cutting_of_the_path_gives_the_same_samples(cuts: list[int], turns: list[int]) -> None:
    """However short the plain voice has the air, or leaves it."""
    turns.sort()
    received = np.linspace(0.1, 0.9, 12_000, dtype=np.float32)
    on = np.zeros(12_000, dtype=bool)
    for start, stop in zip(turns[::2], turns[1::2], strict=False):
        on[start:stop] = True
    speech = np.where(on, received[::-1], np.float32(0.0))
    path, parts, at = PlainPath(LATENCY), [], 0
    while at < len(received):
        stop = at + max(cuts[len(parts) % len(cuts)], 50)
        places = runs(on[at:stop])
        parts.append(path.process(received[at:stop], speech[at:stop] if places else None, places))
        at = stop
    whole = PlainPath(LATENCY).process(received, speech, runs(on))
    np.testing.assert_array_equal(np.concatenate(parts), whole)


def runs(on: np.ndarray) -> list[slice]:
    edges = np.flatnonzero(np.diff(np.concatenate([[False], on, [False]]).astype(int)))
    return [slice(int(start), int(stop)) for start, stop in edges.reshape(-1, 2)]


# --- on air -------------------------------------------------------------------------------------

BEGIN, STOP, LENGTH = 40_000, 110_000, 3 * RATE
AGENDA: tuple[tuple[int, InEvent], ...] = (
    (0, StartSession()),
    (BEGIN, PlainVoice()),
    (STOP, StopPlainVoice()),
)
HEARD, EVENTS = play([1_000], sound=SHORTWAVE, length=LENGTH, agenda=AGENDA)


def test_the_voice_goes_straight_into_the_transmitter() -> None:
    """What is heard is what the transmitter makes of the dry item: no band, no noise, no fading."""
    content = prepared_plainly(on_air(watch_and_gate())).content
    item = tone_for(content.item, content.text)
    start = BEGIN + FADE_FRAMES
    dry = silence(LENGTH)
    rest = round(REST_S * RATE)
    dry[start : start + len(item)] = item * PLAIN_GAIN
    assert start + len(item) + rest > STOP
    transmitter = transmitter_of(on_air(watch_and_gate(), SHORTWAVE))
    expected = transmitter.process(np.concatenate([dry, silence(transmitter.latency)]), 0)
    expected = expected[transmitter.latency :]
    inside = slice(start + RATE // 10, start + len(item))
    np.testing.assert_allclose(HEARD[inside], expected[inside], atol=2e-3)
    loud = float(np.abs(HEARD[inside]).max())
    assert 0.85 < loud < 0.8913, "at the transmitter's ceiling of -1 dBFS"
    silent = slice(start + len(item) + RATE // 10, STOP)
    assert np.abs(HEARD[silent]).max() < 1e-3, "nothing else is on air while it rests"


def test_reception_goes_on_behind_it() -> None:
    """After it the bed is the one that would have been there: no new beginning."""
    quiet, _ = play([1_000], sound=SHORTWAVE, length=LENGTH, agenda=())
    with_it, _ = play(
        [1_000],
        sound=SHORTWAVE,
        length=LENGTH,
        agenda=((BEGIN, PlainVoice()), (STOP, StopPlainVoice())),
    )
    behind = slice(STOP + RATE // 2, LENGTH)  # the limiter has forgotten it, too
    np.testing.assert_allclose(with_it[behind], quiet[behind], atol=1e-6)
    assert np.abs(quiet[behind]).max() > 1e-3


def test_its_entries_stand_in_the_as_run_log() -> None:
    """Words and rests, to the frame; the entries tile the broadcast."""
    entries = plainly(EVENTS)
    assert [(entry.item, entry.text, entry.complete) for entry in entries] == [
        ("say", LEAVE, True),
        ("carrier", "rest", True),
    ]
    assert entries[0].start_frame == BEGIN + FADE_FRAMES
    assert entries[-1].end_frame == STOP
    aired = [event for event in EVENTS if isinstance(event, ItemAired)]
    assert all(one.end_frame == other.start_frame for one, other in pairwise(aired))


def test_the_prepared_text_goes_out_until_another_is_ready() -> None:
    """After a moment's patience; the other follows as soon as it is there."""
    items = TableItems(late={"Stand still.": 4})
    _, events = play([500], items=items, length=6 * RATE, agenda=((0, PlainVoice("Stand still.")),))
    said = [entry for entry in plainly(events) if entry.item == "say"]
    assert [entry.text for entry in said[:2]] == [LEAVE, "Stand still."]
    assert said[0].start_frame == PLAIN_PATIENCE_FRAMES
    assert not any(isinstance(event, Trouble) for event in events)


def test_a_text_that_cannot_be_made_does_not_keep_it_off_the_air() -> None:
    """The prepared text goes out in its place, and the operator is told."""
    items = TableItems(failing=["Stand still."])
    _, events = play([500], items=items, length=3 * RATE, agenda=((0, PlainVoice("Stand still.")),))
    said = [entry for entry in plainly(events) if entry.item == "say"]
    assert said[0].text == LEAVE
    assert said[0].start_frame == 0
    sentences = [event.sentence for event in events if isinstance(event, Trouble)]
    assert sentences[0].startswith("The say 'Stand still.' cannot be spoken")


def test_without_any_voice_it_still_clears_the_air() -> None:
    """All fails: silence, no end of the broadcast, and it speaks as soon as it can."""
    items = TableItems(late={LEAVE: 30})
    heard, events = play(
        [500], items=items, length=3 * RATE, agenda=((0, StartSession()), (BEGIN, PlainVoice()))
    )
    said = [entry for entry in plainly(events) if entry.item == "say"]
    assert said[0].text == LEAVE
    waiting = slice(BEGIN + RATE // 10, said[0].start_frame)
    assert said[0].start_frame > BEGIN + RATE
    assert np.abs(heard[waiting]).max() < 1e-3
