"""The clock on the wall: which marks come, on which frames, and when the station hears of them."""

from datetime import UTC, datetime, timedelta, timezone
from zoneinfo import ZoneInfo

import pytest

from broadcaster.desk.timetable import MEASURED_LEAST, SENT_S, TOLD_S, Arming, timetable_agenda
from broadcaster.script.programme import Programme, TimetableEntry
from broadcaster.story.events import OutputState, Placed, StationOpened, TimetableDue
from broadcaster.units import RATE
from tests.story.make import entry, pips, programme, say, segment

MONDAY = datetime(1958, 11, 3, 20, 0, tzinfo=UTC)
DAY = 24 * 3600


def script(*timetable: TimetableEntry) -> Programme:
    return programme({"watch": segment(say("one"))}, timetable=timetable)


def marks(programme: Programme, opened: datetime, seconds: int) -> list[tuple[str, int]]:
    """Each mark as a time of day with its day, and its entry."""
    agenda = timetable_agenda(programme, opened, seconds * RATE)
    moments = []
    for _, due in agenda:
        assert due.mark_frame is not None
        moment = opened + timedelta(seconds=due.mark_frame / RATE)
        moments.append((f"{moment:%a %H:%M:%S}", due.entry))
    return moments


def test_a_daily_entry_is_due_each_day_at_its_time() -> None:
    """To the frame; what is due on the frame on which the station opens is not missed by luck."""
    nine = script(entry(say("x"), daily="21:00"))
    assert timetable_agenda(nine, MONDAY, 2 * DAY * RATE) == (
        ((3600 - 60) * RATE, TimetableDue(0, 3600 * RATE)),
        ((DAY + 3600 - 60) * RATE, TimetableDue(0, (DAY + 3600) * RATE)),
    )


def test_weekdays_and_days() -> None:
    """Monday to Friday, or the days that are named."""
    both = script(
        entry(say("x"), weekdays="21:00"),
        entry(say("y"), daily="21:00:30", days="mon sat"),
        entry(say("z"), at="5 min"),
    )
    assert marks(both, MONDAY, 7 * DAY) == [
        ("Mon 21:00:00", 0),
        ("Mon 21:00:30", 1),
        ("Tue 21:00:00", 0),
        ("Wed 21:00:00", 0),
        ("Thu 21:00:00", 0),
        ("Fri 21:00:00", 0),
        ("Sat 21:00:30", 1),
    ]


def test_entries_of_the_same_instant_come_in_the_order_of_the_script() -> None:
    """Each of them, and always in this order."""
    many = script(*(entry(say(str(number)), daily="21:00") for number in range(10)))
    assert [number for _, number in marks(many, MONDAY, 2 * 3600)] == list(range(10))


def test_an_opening_between_two_seconds_is_no_matter() -> None:
    """The mark's frame is exact to the frame."""
    opened = MONDAY + timedelta(seconds=3599.25)
    ((told, due),) = timetable_agenda(script(entry(say("x"), daily="21:00")), opened, DAY * RATE)
    assert due.mark_frame == round(0.75 * RATE)
    assert told == 0


def test_the_zone_is_that_of_the_station() -> None:
    """21:00 by the clock of the zone in which the station opened."""
    nine = script(entry(say("x"), daily="21:00"))
    east = MONDAY.astimezone(timezone(timedelta(hours=2)))
    assert marks(nine, east, DAY) == [("Tue 21:00:00", 0)]


def test_a_night_on_which_the_clocks_change_has_its_own_length() -> None:
    """Frames go on evenly while the clock on the wall jumps back an hour."""
    berlin = ZoneInfo("Europe/Berlin")
    opened = datetime(2026, 10, 24, 20, 0, tzinfo=berlin)
    nine = script(entry(say("x"), daily="21:00"))
    agenda = timetable_agenda(nine, opened, 2 * DAY * RATE)
    first, second = (due.mark_frame for _, due in agenda)
    assert first == 3600 * RATE
    assert second == first + 25 * 3600 * RATE


# --- on air -------------------------------------------------------------------------------------


class Desk:
    """An Arming that hears of a station whose loudspeaker is so many seconds behind."""

    def __init__(self, behind_s: float = 0.0, *entries: TimetableEntry) -> None:
        timetable = entries or (entry(pips(6), daily="21:00"),)
        self.arming = Arming(script(*timetable), UTC)
        self.behind_s = behind_s
        self.sent: list[tuple[datetime, Placed]] = []
        self.open(MONDAY)

    def open(self, at: datetime) -> None:
        self.opened = at
        event = StationOpened("Test", "Test", 0, "silent", "as asked", at.isoformat())
        assert not self.arming.hear(event, at)

    def state(self, at: datetime, delay_s: float = 0.0, playing: bool = True) -> None:
        """The output's word at a moment, heard by the desk so much later."""
        heard = round(((at - self.opened).total_seconds() - self.behind_s) * RATE)
        now = at + timedelta(seconds=delay_s)
        word = OutputState(heard, heard, "silent", playing, 0, 0, -20.0, -20.0)
        self.sent += [(now, placed) for placed in self.arming.hear(word, now)]

    def follow(self, since: float, until: float, every: float = 0.5) -> "Desk":
        """Words of the output from so many seconds after the opening until so many."""
        at = since
        while at <= until:
            self.state(self.opened + timedelta(seconds=at))
            at += every
        return self


def test_the_station_is_sent_each_mark_in_good_time_and_once() -> None:
    """Ten seconds before the story is to hear of it, which is a minute before the mark."""
    desk = Desk().follow(3400, 3700)
    ((now, placed),) = desk.sent
    assert placed == Placed(TimetableDue(0, 3600 * RATE), (3600 - 60) * RATE)
    ahead_s = 3600 - (now - MONDAY).total_seconds()
    assert TOLD_S + SENT_S - 0.5 < ahead_s <= TOLD_S + SENT_S


def test_the_mark_is_placed_where_it_will_be_heard() -> None:
    """The loudspeaker is behind what is made; the least delay that was seen counts."""
    desk = Desk(behind_s=0.8)
    for tenth in range(34_000, 35_500):
        delay_s = 0.0 if tenth % 7 == 0 else 0.03 * (tenth % 4)
        desk.state(MONDAY + timedelta(seconds=tenth / 10), delay_s)
    ((_, placed),) = desk.sent
    assert isinstance(placed.event, TimetableDue)
    assert placed.event.mark_frame == round((3600 - 0.8) * RATE)


def test_a_sound_card_that_runs_slow_is_followed() -> None:
    """A hundred parts in a million are a third of a second an hour: the mark is not late by it."""
    desk = Desk()
    for second in range(3600):
        desk.behind_s = second * 100e-6
        desk.state(MONDAY + timedelta(seconds=second))
    ((now, placed),) = desk.sent
    assert isinstance(placed.event, TimetableDue)
    assert placed.event.mark_frame is not None
    heard_s = placed.event.mark_frame / RATE
    slow_then_s = (now - MONDAY).total_seconds() * 100e-6
    assert heard_s == pytest.approx(3600 - slow_then_s, abs=0.02)


def test_nothing_is_placed_before_the_output_was_heard_of_for_a_while() -> None:
    """Nor by the words of an output that plays no more."""
    desk = Desk()
    for step in range(2 * MEASURED_LEAST - 1):
        at = MONDAY + timedelta(seconds=3580 + step / 10)
        desk.state(at, playing=step % 2 == 0)
        assert bool(desk.sent) is (step // 2 + 1 >= MEASURED_LEAST)


def test_a_mark_that_is_near_when_the_station_opens_is_placed_at_once() -> None:
    """With less than a minute to go, the story hears of it as soon as may be."""
    desk = Desk()
    desk.open(MONDAY + timedelta(seconds=3570))
    desk.follow(0, 20, 0.1)
    ((_, placed),) = desk.sent
    assert placed == Placed(TimetableDue(0, 30 * RATE), 0)


def test_a_new_station_has_its_own_frames() -> None:
    """After a station was replaced, what is still to come is placed anew."""
    desk = Desk().follow(3530, 3550)
    desk.open(MONDAY + timedelta(seconds=3560))
    desk.follow(0, 30, 0.1)
    assert [placed.event for _, placed in desk.sent] == [
        TimetableDue(0, 3600 * RATE),
        TimetableDue(0, 40 * RATE),
    ]


def test_a_script_without_the_clock_on_the_wall_is_sent_nothing() -> None:
    """Entries by session time are the story's own."""
    assert not Desk(0.0, entry(say("x"), every="10 s")).follow(0, 400).sent
