"""The lamp: lit while the key is down at the loudspeaker, and never faster than it may flash."""

import asyncio
from itertools import pairwise

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broadcaster.air.timing import marks_of
from broadcaster.clock import VirtualClock
from broadcaster.errors import UsageError
from broadcaster.room.lamp import LampPart
from broadcaster.room.lamp_flashes import SAFE_FLASHES, most_flashes, slowed
from broadcaster.room.lamp_times import TRUSTED_S, LampTimes
from broadcaster.script.programme import Morse
from broadcaster.script.venue_settings import LampSettings
from broadcaster.story.events import (
    ItemAired,
    ItemStarted,
    Keyed,
    Marks,
    OutputState,
    StationClosed,
    StationOpened,
)
from broadcaster.units import RATE
from tests.room.around import surroundings
from tests.services import needs_package


def keyed(text: str, wpm: float) -> Marks:
    """When the key is down for a text, in frames."""
    return marks_of(Morse(morse=text, speed=wpm), text)


def state(heard: int, moment_s: float, *, delay_s: float = 0.0) -> OutputState:
    """At a moment a frame is heard."""
    return OutputState(heard, heard, "test", True, 0, 0, -20.0, -26.0, moment_s, delay_s)


def aired(start: int, end: int) -> ItemAired:
    """An item that was cut."""
    return ItemAired(start, end, "watch", "morse", "EEE", None, 1, 1, 1, complete=False)


def started(start: int) -> ItemStarted:
    """An item goes on air."""
    return ItemStarted(start, start + RATE, "watch", "morse", "T", None, 1, 1, 1)


def opened() -> StationOpened:
    return StationOpened("A Test", "Heron", 0, "silent", "as asked", "1958-11-03T20:00:00")


# --- in step -----------------------------------------------------------------------------------


def lamp_at(times: LampTimes, *moments_s: float) -> list[bool]:
    return [times.lit(moment_s) for moment_s in moments_s]


def test_it_is_lit_while_the_key_is_down_at_the_loudspeaker() -> None:
    """Frame 48,000 is heard at second 100: a mark half a second later lasts 0.1 s, to the frame."""
    times = LampTimes(None, None)
    times.hear(state(RATE, 100.0))
    times.hear(Keyed(RATE, ((RATE // 2, RATE * 6 // 10),)))
    assert times.wait_s(100.0) == pytest.approx(0.5)
    assert lamp_at(times, 100.499, 100.501, 100.599, 100.601) == [False, True, True, False]
    assert times.wait_s(100.55) == pytest.approx(0.05)


def test_it_follows_the_output_that_lags_behind() -> None:
    """A later word of the output counts: what was to be lit at 100.5 s is lit 20 ms later."""
    times = LampTimes(None, None)
    times.hear(Keyed(0, ((RATE // 2, RATE),)))
    times.hear(state(0, 100.0))
    times.hear(state(RATE * 8 // 100, 100.1))
    assert lamp_at(times, 100.51, 100.521) == [False, True]


def test_a_latency_that_is_set_takes_the_place_of_the_outputs_own() -> None:
    """The output says 60 ms, the hall's loudspeakers need 200: 140 ms later than without."""
    times = LampTimes(None, 0.2)
    times.hear(state(0, 100.0, delay_s=0.06))
    times.hear(Keyed(0, ((RATE // 2, RATE),)))
    assert lamp_at(times, 100.639, 100.641) == [False, True]


def test_a_cut_ends_the_light_where_the_sound_ends() -> None:
    """A jump, a hold and the plain voice cut the item on air; the rest of its Morse is dark."""
    times = LampTimes(None, None)
    times.hear(state(0, 100.0))
    times.hear(Keyed(0, ((0, 4800), (9600, 96_000), (100_000, 120_000))))
    times.hear(aired(0, 48_000))
    assert lamp_at(times, 100.999, 101.001, 102.2) == [True, False, False]
    assert times.wait_s(101.5) is None


def test_a_cut_ends_the_light_of_what_was_told_twice() -> None:
    """As news, and of how things stood when the lamp came."""
    times = LampTimes(None, None)
    times.hear(state(0, 100.0))
    for _ in range(2):
        times.hear(Keyed(0, ((0, RATE // 2), (RATE, 2 * RATE))))
    times.hear(aired(0, RATE // 4))
    assert lamp_at(times, 100.2, 100.3, 101.5) == [True, False, False]


def test_what_was_aired_before_does_not_cut_what_comes_next() -> None:
    """The item before ends on the frame on which the Morse begins."""
    times = LampTimes(None, None)
    times.hear(state(0, 100.0))
    times.hear(aired(0, 4800))
    times.hear(Keyed(4800, ((0, 4800),)))
    assert lamp_at(times, 100.15) == [True]


def test_the_station_ends_and_so_does_the_light() -> None:
    """The last frame of the broadcast is the last that can be lit."""
    times = LampTimes(None, None)
    times.hear(state(0, 100.0))
    times.hear(Keyed(0, ((0, RATE),)))
    times.hear(StationClosed(RATE // 2))
    assert lamp_at(times, 100.4, 100.6) == [True, False]


def test_a_station_that_falls_silent_leaves_no_lamp_lit() -> None:
    """Without a word for a second nobody knows what is heard: the lamp is dark."""
    times = LampTimes(None, None)
    times.hear(state(0, 100.0))
    times.hear(Keyed(0, ((0, RATE * 60),)))
    assert lamp_at(times, 100.0 + TRUSTED_S - 0.01, 100.0 + TRUSTED_S + 0.01) == [True, False]
    assert times.wait_s(102.0) is None


def test_a_new_station_begins_with_a_dark_lamp() -> None:
    """Its frames are counted anew, and what the one that died had keyed is gone."""
    times = LampTimes(None, None)
    times.hear(state(RATE * 60, 100.0))
    times.hear(Keyed(RATE * 60, ((0, RATE),)))
    times.hear(opened())
    assert lamp_at(times, 100.5) == [False]
    times.hear(state(RATE * 60, 160.0))
    assert lamp_at(times, 160.5) == [False]


# --- not too fast ------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("text", "wpm", "flashes"),
    [  # a dot and its gap are 2.4 s / wpm: 3 a second at 7.2 wpm (Rec. ITU-R M.1677-1, I, 2)
        ("5555", 6, 3),  # dots every 0.4 s: on at 0, 0.4, 0.8
        ("HHHH", 7.2, 3),  # every third of a second
        ("HHHH", 8, 4),  # every 0.3 s
        ("SSSS", 6, 3),
        ("5", 20, 5),  # 0.12 s: all five within a second
        ("PARIS", 8, 3),  # no four of its signals come within a second
        ("PARIS", 12, 4),
        ("E", 5, 1),
        ("TTTT", 25, 4),  # a dash and the gap after a letter: 0.288 s
    ],
)
def test_flashes_of_a_message_within_any_second(text: str, wpm: float, flashes: int) -> None:
    """A window of a second that slides over the message counts the times that the lamp goes on."""
    assert most_flashes(keyed(text, wpm)) == flashes


def test_what_is_slow_enough_is_left_as_it_is() -> None:
    """At 6 wpm no message flashes more than three times a second."""
    assert slowed(keyed("HHHH 5555", 6), SAFE_FLASHES) == keyed("HHHH 5555", 6)


def test_what_is_too_fast_is_one_steady_light() -> None:
    """An H at 12 wpm is lit from its first dot to its last, not as three dots and a false dash."""
    fast = keyed("T H T", 12)
    assert slowed(fast, SAFE_FLASHES) == (fast[0], (fast[1][0], fast[4][1]), fast[5])


def _marks(lengths: list[tuple[int, int]]) -> Marks:
    frame, marks = 0, []
    for up, down in lengths:
        marks.append((frame + up, frame + up + down))
        frame += up + down
    return tuple(marks)


LENGTHS = st.lists(st.tuples(st.integers(1, RATE), st.integers(1, RATE)), max_size=40).map(_marks)


@given(LENGTHS, LENGTHS, st.integers(1, 5))
def test_it_never_flashes_more_often_than_it_may(one: Marks, other: Marks, at_most: int) -> None:
    """Whatever is keyed, over the border of two messages too; and no light outside a message."""
    before = slowed(one, at_most)
    start = one[-1][1] if one else 0
    after = slowed(
        tuple((start + on, start + off) for on, off in other), at_most, [on for on, _ in before]
    )
    light = (*before, *after)
    assert most_flashes(light) <= at_most
    assert all(on < off for on, off in light)
    assert all(off <= on for (_, off), (on, _) in pairwise(light))
    assert {off for _, off in light} <= {off for _, off in one} | {start + off for _, off in other}


@given(LENGTHS)
def test_slowing_twice_changes_nothing_more(marks: Marks) -> None:
    """What was slowed is slow enough."""
    once = slowed(marks, SAFE_FLASHES)
    assert slowed(once, SAFE_FLASHES) == once


def test_messages_that_follow_each_other_are_counted_together() -> None:
    """Jumps that start the same fast message again and again flash no more than it may."""
    times = LampTimes(SAFE_FLASHES, None)
    lit = []
    times.hear(state(0, 100.0))
    marks = keyed("E", 20)
    for start in range(0, RATE * 2, RATE // 10):
        times.hear(Keyed(start, marks))
    was = False
    for frame in range(0, RATE * 2, RATE // 1000):
        if frame % (RATE // 10) == 0:
            times.hear(state(frame, 100.0 + frame / RATE))
        now = times.lit(100.0 + frame / RATE)
        if now and not was:
            lit.append(frame)
        was = now
    assert len(lit) == 2 * SAFE_FLASHES


# --- the part ----------------------------------------------------------------------------------


class Line:
    """A part that drives a lamp."""

    def __init__(self) -> None:
        self.told: list[bool] = []

    async def run(self) -> None:
        return

    def tell(self, event: object) -> None:
        return

    def key(self, *, down: bool) -> None:
        self.told.append(down)


def played(lamp: LampSettings, marks: Marks, for_s: float = 0.25) -> list[bool]:
    """What a serial line was told while marks were heard, and the lamp was let go of."""
    around, _ = surroundings()
    line = Line()
    around.parts["serial"] = line

    async def play() -> None:
        part = LampPart(lamp, around)
        task = asyncio.create_task(part.run())
        await asyncio.sleep(0)
        part.tell(state(0, around.clock.seconds()))
        part.tell(Keyed(0, marks))
        await asyncio.sleep(for_s)
        task.cancel()
        await asyncio.wait({task})

    asyncio.run(play())
    return line.told


def test_a_line_hears_each_mark_and_that_the_key_is_up_at_first_and_at_last() -> None:
    """Two marks are two times on and off; then nothing more, until the lamp is let go of."""
    told = played(LampSettings(over=("serial",)), ((480, 1440), (2400, 4800)))
    assert told == [False, True, False, True, False, False]


def test_a_lamp_that_is_let_go_of_is_dark() -> None:
    """The room closes in the middle of a dash."""
    assert played(LampSettings(over=("serial",)), ((0, RATE),), 0.05) == [False, True, False]


def test_an_inverted_lamp_is_lit_while_the_key_is_up() -> None:
    """Relays that are off when their pin is high."""
    told = played(LampSettings(over=("serial",), inverted=True), ((480, RATE),), 0.1)
    assert told == [True, False, True]


@pytest.mark.parametrize(("on_air", "told"), [(0, [False, True, False]), (4800, [False, False])])
def test_a_desk_that_comes_late_goes_on_in_the_middle(on_air: int, told: list[bool]) -> None:
    """It is told how things stand: Morse that is on air is followed, what was cut is not."""
    around, _ = surroundings()
    line = Line()
    around.parts["serial"] = line
    around.standing.hear(started(0))
    around.standing.hear(Keyed(0, ((0, RATE),)))
    if on_air:
        around.standing.hear(started(on_air))

    async def play() -> None:
        part = LampPart(LampSettings(over=("serial",)), around)
        task = asyncio.create_task(part.run())
        await asyncio.sleep(0)
        part.tell(state(6000, around.clock.seconds()))
        await asyncio.sleep(0.02)
        task.cancel()
        await asyncio.wait({task})

    asyncio.run(play())
    assert line.told == told


def test_a_lamp_without_its_ways_is_not_opened() -> None:
    """The serial line could not be opened: the lamp says so, once, instead of pretending."""
    around, _ = surroundings(VirtualClock())
    with pytest.raises(UsageError, match="None of the ways"):
        LampPart(LampSettings(over=("serial",)), around)


@needs_package("gpiozero")
def test_a_pin_follows_the_key() -> None:
    """The pin is high while the key is down, low when the lamp is let go of."""
    import gpiozero
    from gpiozero.pins.mock import MockFactory

    before, gpiozero.Device.pin_factory = gpiozero.Device.pin_factory, MockFactory()
    try:
        pin = gpiozero.Device.pin_factory.pin(17)
        around, _ = surroundings()

        async def play() -> None:
            part = LampPart(LampSettings(over=("pins",), pin=17), around)
            task = asyncio.create_task(part.run())
            await asyncio.sleep(0)
            part.tell(state(0, around.clock.seconds()))
            part.tell(Keyed(0, ((480, 2400), (4800, RATE))))
            await asyncio.sleep(0.2)
            assert pin.state
            task.cancel()
            await asyncio.wait({task})

        asyncio.run(play())
        assert [change.state for change in pin.states] == [False, True, False, True, False]
    finally:
        gpiozero.Device.pin_factory = before


@needs_package("gpiozero")
def test_a_machine_without_pins_is_told_in_a_sentence() -> None:
    """No Raspberry Pi: the room says so and goes on."""
    around, _ = surroundings()
    part = LampPart(LampSettings(over=("pins",), pin=17), around)
    with pytest.raises(UsageError, match="The pin 17 cannot be had"):
        asyncio.run(part.run())
