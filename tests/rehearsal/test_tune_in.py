"""Tune-in times: against closed forms to the frame, and against 10,000 simulated listeners."""

import bisect

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from broadcaster.rehearsal.tune_in import (
    Airing,
    Span,
    assembled_worst,
    beginner_worst,
    waits,
    worst_before,
)

MINUTE = 60 * 48_000
LISTENERS = 10_000


def simulated(spans, loop):
    """The waits of LISTENERS who tune in one after another, evenly over the loop."""
    ordered = sorted(
        (span.start_frame + k * loop, span.end_frame + k * loop) for span in spans for k in (0, 1)
    )
    starts = [start for start, _ in ordered]
    moments = [(number + 0.5) * loop / LISTENERS for number in range(LISTENERS)]
    return sorted(ordered[bisect.bisect_left(starts, moment)][1] - moment for moment in moments)


@st.composite
def loops(draw):
    """Airings that do not overlap, in a loop; the last may run into the loop's beginning."""
    loop, at, spans = 0, 0, []
    for gap, length in draw(
        st.lists(
            st.tuples(st.integers(0, 10 * MINUTE), st.integers(100, MINUTE)), min_size=1, max_size=6
        )
    ):
        spans.append(Span(at + gap, at + gap + length))
        at = loop = at + gap + length
    return spans, loop + draw(st.integers(0, MINUTE))


@pytest.mark.parametrize(
    ("start", "length", "loop"), [(0, 1, 1), (0, 48_000, MINUTE), (1_234, 567_890, 7_654_321)]
)
def test_one_airing(start, length, loop):
    """A clue of d in a loop of L: worst L + d, mean L/2 + d, and 0.9 L + d for nine of ten."""
    told = waits([Span(start, start + length)], loop)
    assert told.worst == loop + length
    assert told.mean == pytest.approx(loop / 2 + length, abs=1)
    assert told.p90 == pytest.approx(0.9 * loop + length, abs=1)


def test_two_airings_in_a_row():
    """Read twice in a row: who misses the first waits for the second, and the loop is shorter."""
    length, loop = 48_000, 480_000
    told = waits([Span(0, length), Span(length, 2 * length)], loop)
    assert told.worst == (loop - length) + length
    assert told.mean == pytest.approx((length**2 / 2 + (loop - length) ** 2 / 2) / loop + length)


def test_evenly_spread_airings():
    """n airings at even distances are one airing in a loop an n-th as long."""
    apart = [Span(at, at + 1_000) for at in range(0, 100_000, 20_000)]
    assert waits(apart, 100_000) == waits([Span(0, 1_000)], 20_000)


@settings(max_examples=30, deadline=None)
@given(loops())
def test_a_simulation_agrees(loop):
    """10,000 simulated listeners: mean, worst and 90th percentile agree to 0.5 %."""
    spans, frames = loop
    heard = simulated(spans, frames)
    told = waits(spans, frames)
    assert sum(heard) / LISTENERS == pytest.approx(told.mean, rel=0.005)
    assert heard[-1] == pytest.approx(told.worst, rel=0.005, abs=frames / LISTENERS)
    assert heard[-1] <= told.worst
    assert heard[int(0.9 * LISTENERS) - 1] == pytest.approx(
        told.p90, rel=0.005, abs=2 * frames / LISTENERS
    )


def test_a_lead_in_counts():
    """Who tunes in during a long introduction, or to an airing in it, waits for the loop."""
    loop = [Span(10, 20)]
    assert worst_before([], loop, 100) == 120
    assert worst_before([Span(5, 15)], loop, 100) == 115
    assert worst_before([], loop, 0) == 0


# --- symbol by symbol -------------------------------------------------------------------------


def message(start, lengths, gap, name="m"):
    """An airing whose symbols have these lengths, with a gap after each."""
    symbols, at = [], start
    for length in lengths:
        symbols.append(Span(at, at + length))
        at += length + gap
    return Airing(Span(start, at), name, tuple(symbols))


def assembled_by_hand(airings, loop, moment):
    """When a listener from a moment on has every symbol: each looked for by itself."""
    done = {}
    for airing in airings:
        for place, part in enumerate(airing.parts):
            start, end = part.start_frame, part.end_frame
            while start < moment:
                start, end = start + loop, end + loop
            key = airing.message, place
            done[key] = min(done.get(key, end), end)
    names = {name for name, _ in done}
    return min(max(end for (name, _), end in done.items() if name == one) for one in names) - moment


def test_one_message_assembled():
    """Symbols of up to s frames in a loop of L: worst L + s, whatever the order."""
    assert assembled_worst([message(50, [10, 30, 20], 7)], 1_000) == 1_030


def test_a_sentence_is_heard_whole_or_not():
    """Without symbols, assembled is the same as heard whole."""
    airings = [Airing(Span(0, 100)), Airing(Span(300, 420))]
    assert assembled_worst(airings, 1_000) == waits([a.span for a in airings], 1_000).worst


@settings(max_examples=50, deadline=None)
@given(
    st.lists(st.integers(1, 50), min_size=1, max_size=6),
    st.integers(0, 300),
    st.integers(1, 500),
    st.integers(0, 40),
)
def test_assembled_by_hand(lengths, between, rest, gap):
    """Two airings of a message: the worst of all moments, tried one by one."""
    first = message(0, lengths, gap)
    second = first.later(first.span.end_frame + between)
    loop = second.span.end_frame + rest
    tried = max(assembled_by_hand([first, second], loop, moment) for moment in range(loop))
    # Between two frames somebody may wait for a frame more.
    assert assembled_worst([first, second], loop) == tried + 1


def test_a_beginner_who_needs_no_time():
    """Looking up in no time, and with gaps, a beginner is as quick as anybody."""
    airings = [message(50, [10, 30, 20], 7)]
    assert beginner_worst(airings, 1_000, 0) == assembled_worst(airings, 1_000)


def test_a_beginner_who_looks_up_long():
    """One symbol a round: four symbols take four rounds."""
    airings = [message(0, [10, 10, 10, 10], 5)]
    # Just after the fourth began: all four are to come, each in a round of its own.
    assert beginner_worst(airings, 1_000, 500) == 4_000 + 10 + 500
