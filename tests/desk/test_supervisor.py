"""The supervisor: a desk for each station, started again where it dies; all in a clock of ours."""

import pytest

from broadcaster.clock import VirtualClock
from broadcaster.console.stations import line_of, record_of
from broadcaster.desk.session import Wishes
from broadcaster.desk.several import Wanted
from broadcaster.desk.supervised import Listed
from broadcaster.desk.supervisor import (
    FIRST_WAIT_S,
    LONG_LIFE_S,
    LONGEST_WAIT_S,
    PATIENCE_S,
    STARTING_AT_ONCE,
    STARTING_S,
    Change,
    Died,
    Supervisor,
)
from broadcaster.story.events import (
    Held,
    Resumed,
    SegmentEntered,
    SessionEnded,
    StationClosed,
    StationOpened,
    Trouble,
)

ON_AIR = {"state": "on air", "segment": "watch"}
OFF = {"state": "off air", "segment": None}
GOOD = {"code": 0, "sentence": ""}


class FakeDesk:
    """A desk that says what the test has it say."""

    def __init__(self, wishes, say):
        self.wishes, self.say = wishes, say
        self.told_off_air = self.killed = False

    def off_air(self):
        self.told_off_air = True

    def kill(self):
        self.killed = True


class Venue:
    """A supervisor, the desks that it started, and the lines that it told."""

    def __init__(self, *callsigns, **wished):
        values = {"start": True, "length_s": None, "seed": 0, "cache": None, "log": None, **wished}
        self.desks, self.lines, self.clock = [], [], VirtualClock()
        self.supervisor = Supervisor(
            [Wanted(name, Wishes(f"{name}.yaml", "silent", **values)) for name in callsigns],
            self.launch,
            lambda change: self.lines.append(line_of(change)),
            self.clock,
        )

    def launch(self, wishes, hear):
        self.desks.append(FakeDesk(wishes, hear))
        return self.desks[-1]

    def say(self, number, *news):
        for one in news:
            self.desks[number].say(one)
        self.turn(len(news))

    def turn(self, times=1):
        for _ in range(times + 1):
            self.supervisor.turn(0)

    def pass_s(self, seconds):
        self.clock.wait(seconds)
        self.turn()


def test_each_change_is_a_line():
    """Where it stands, what befell it, and its end; what did not change is not said again."""
    venue = Venue("Heron")
    venue.turn()
    sentence = {"sentence": "The output 'Desk' is lost; the broadcast goes on."}
    venue.say(0, ON_AIR, ON_AIR, sentence, OFF, GOOD, Died("code 0"))
    assert venue.lines == [
        "Heron on air: watch",
        "Heron: The output 'Desk' is lost; the broadcast goes on.",
        "Heron off air",
    ]
    assert venue.supervisor.over
    assert venue.supervisor.code == 0


def test_a_desk_that_dies_is_started_again_and_waits_longer_each_time():
    """Twice as long, up to a limit; a long life makes good for it. One line for each death."""
    venue = Venue("Heron")
    venue.turn()
    waits = []
    for _ in range(9):
        venue.say(-1, ON_AIR, Died("signal 9"))
        count, before_s = len(venue.desks), venue.clock.seconds()
        while len(venue.desks) == count:
            venue.pass_s(0.25)
        waits.append(venue.clock.seconds() - before_s)
    assert waits == [min(FIRST_WAIT_S * 2**n, LONGEST_WAIT_S) for n in range(9)]
    assert venue.lines[1] == "Heron: Its desk died (signal 9); another starts in 0.5 s."
    assert len(venue.lines) == 1 + 9
    venue.pass_s(LONG_LIFE_S + 1)
    venue.say(-1, Died("signal 9"))
    assert venue.lines[-1].endswith("another starts in 0.5 s.")


def test_only_so_many_start_at_once():
    """The next begins when one before it has answered, or has had its time."""
    venue = Venue("A", "B", "C", "D")
    venue.turn()
    assert len(venue.desks) == STARTING_AT_ONCE == 2
    venue.say(0, ON_AIR)
    assert len(venue.desks) == 3
    venue.pass_s(STARTING_S)
    assert len(venue.desks) == 4


@pytest.mark.parametrize("code", [1, 2, 3])
def test_a_station_that_cannot_begin_does_not_stop_the_others(code):
    """It is not tried again; its exit code is the command's, for it is the worst."""
    venue = Venue("Heron", "Curlew")
    venue.turn()
    venue.say(0, {"code": code, "sentence": "There is no output 'kettle'."}, Died("code"))
    venue.say(1, ON_AIR)
    venue.pass_s(LONGEST_WAIT_S)
    assert len(venue.desks) == 2
    assert venue.lines == [
        "Heron: There is no output 'kettle'.",
        "Heron failed",
        "Curlew on air: watch",
    ]
    venue.say(1, OFF, GOOD)
    assert venue.supervisor.over
    assert venue.supervisor.code == code


def test_a_station_that_was_on_air_and_keeps_dying_is_tried_again():
    """Somebody may mend it, and all day is long."""
    venue = Venue("Heron")
    venue.turn()
    venue.say(0, ON_AIR, {"code": 3, "sentence": "The station keeps dying."}, Died("code 3"))
    venue.pass_s(FIRST_WAIT_S)
    assert len(venue.desks) == 2
    assert not venue.supervisor.over


def test_what_is_left_of_its_time_is_what_a_new_desk_gets():
    """`--for` counts from when the station opened; where nothing is left, nothing is started."""
    venue = Venue("Heron", length_s=60.0)
    venue.turn()
    venue.say(0, ON_AIR)
    venue.pass_s(20)
    venue.say(0, Died("signal 9"))
    venue.pass_s(FIRST_WAIT_S)
    assert venue.desks[1].wishes.length_s == 60.0 - 20 - FIRST_WAIT_S
    venue.pass_s(45)
    venue.say(1, Died("signal 9"))
    venue.pass_s(LONGEST_WAIT_S)
    assert len(venue.desks) == 2
    assert venue.supervisor.over


def interrupted(venue, *meanwhile):
    """Run until Ctrl-C, and then what the desks say of it, one thing each turn."""
    turns = iter([KeyboardInterrupt, *meanwhile])
    turn = venue.supervisor.turn

    def next_turn(patience_s):
        act = next(turns, None)
        if act is KeyboardInterrupt:
            raise KeyboardInterrupt
        if act:
            act()
        venue.clock.wait(patience_s)
        turn(0)

    venue.supervisor.turn = next_turn
    return venue.supervisor.run()


def test_ctrl_c_takes_all_off_air():
    """Those on air are told, those that never began are done, and it waits for the last."""
    venue = Venue("A", "B", "C")
    venue.turn()
    venue.desks[0].say(ON_AIR)
    code = interrupted(
        venue,
        lambda: venue.desks[0].say(GOOD),
        lambda: venue.desks[1].say(GOOD),
    )
    assert code == 0
    assert len(venue.desks) == 2
    assert all(desk.told_off_air for desk in venue.desks)


def test_ctrl_c_reaches_a_station_whose_desk_is_dead():
    """A desk is started for it at once, to take it off air."""
    venue = Venue("Heron")
    venue.turn()
    venue.say(0, ON_AIR, Died("signal 9"))
    code = interrupted(venue, lambda: venue.desks[1].say(GOOD))
    assert code == 0
    assert venue.desks[1].told_off_air


def test_a_desk_that_does_not_answer_is_killed_in_the_end():
    """And it is said that its station may still be on air; the exit code is 3."""
    venue = Venue("Heron")
    venue.turn()
    venue.say(0, ON_AIR)
    assert interrupted(venue) == 3
    assert venue.desks[0].killed
    assert venue.clock.seconds() == pytest.approx(PATIENCE_S, abs=0.5)
    assert venue.lines[-2:] == [
        "Heron: Its desk does not answer; its station may still be on air.",
        "Heron failed",
    ]


def test_a_change_is_a_record_too():
    """With --json: a station that stands otherwise, or a trouble."""
    change = Change("Heron", "heron.yaml", "on air", "watch")
    assert record_of(change) == {
        "event": "station",
        "callsign": "Heron",
        "script": "heron.yaml",
        "state": "on air",
        "segment": "watch",
        "sentence": "",
    }
    assert record_of(Change("Heron", "h", "on air", sentence="Oh."))["event"] == "trouble"


def test_how_a_station_stands_is_said_once_for_all_that_came_together():
    """Sentences first; a greeting's many events are one line; a hold outlasts a jump."""
    listed = Listed()
    opened = StationOpened("P", "Heron", 0, "silent", "as asked", "")
    entered = SegmentEntered(5, "watch", "opening")
    assert list(listed.hear([opened, entered, Trouble(7, "Oh.")])) == [{"sentence": "Oh."}, ON_AIR]
    assert list(listed.hear([entered])) == []
    jumped = SegmentEntered(9, "gate", "a jump")
    assert list(listed.hear([Held(8), jumped])) == [{"state": "held", "segment": "gate"}]
    assert list(listed.hear([Resumed(10)])) == [{"state": "on air", "segment": "gate"}]
    assert list(listed.hear([SessionEnded(11, "")])) == [{"state": "standing by", "segment": None}]
    assert list(listed.hear([StationClosed(12)])) == [OFF]
