"""Random teams: each a function of the seed and its number, whoever plays it."""

import pytest

from broadcaster.rehearsal.lengths import Lengths
from broadcaster.rehearsal.solving import tasks_of
from broadcaster.rehearsal.team import Player, TeamSession
from broadcaster.rehearsal.team_report import Spread, report_on
from broadcaster.rehearsal.teams import CHUNK, play_teams
from broadcaster.units import RATE
from tests.rehearsal.make import Pauses, night_watch
from tests.story.make import MINUTE

TEAMS = 2 * CHUNK + 3


def played(folder, workers, seed=1):
    show = night_watch()
    told = []
    sessions = play_teams(
        show, TEAMS, seed, Lengths(show, folder), lambda *some: told.append(some), workers
    )
    return report_on(show, sessions, seed), told


@pytest.fixture(scope="module")
def alone(tmp_path_factory):
    """The report of one process."""
    return played(tmp_path_factory.mktemp("one"), 1)


def test_any_number_of_processes_comes_to_the_same_report(alone, tmp_path):
    """One and two: equal, to the last figure."""
    assert played(tmp_path, 2)[0] == alone[0]


def test_another_seed_is_another_crowd(alone, tmp_path):
    """The same seed twice is the same, another is not."""
    assert played(tmp_path, 1)[0] == alone[0]
    assert played(tmp_path, 1, seed=2)[0] != alone[0]


def test_progress_is_told(alone):
    """After each chunk, up to all."""
    assert alone[1] == [(CHUNK, TEAMS), (2 * CHUNK, TEAMS), (TEAMS, TEAMS)]


def test_shares_are_of_all_teams(alone):
    """Everybody hears the opening, nobody what only the operator reaches."""
    report = alone[0]
    shares = {row.segment: row.share for row in report.segments}
    assert (shares["dark"], shares["office"]) == (1.0, 0.0)
    assert 0.5 < shares["light"] <= 1.0
    assert sum(report.hints.values()) == TEAMS
    assert set(report.endings) == {"home"}
    assert report.ended <= report.finished <= shares["light"]


def test_a_clue_is_waited_for_from_where_it_is_sent(alone):
    """`dark` sends its clue after 3 s, for 5 s: a team that is not cut short waits 8 s.

    `light` is entered at once, with static over the cut item first.
    """
    key, gate = alone[0].clues
    assert (key.clue, key.needed, key.wait.median_s) == ("the key", 1.0, 8.0)
    assert (gate.clue, gate.wait.median_s) == ("the gate", 10.22)
    assert key.times_mean > 20


def test_a_team_stalls_and_a_hint_halves_what_is_left():
    """A team that would need 100 minutes is given hints from 24 minutes on."""
    show = night_watch()
    slow = [task for task in tasks_of(show) if task.milestone == "lamp"]
    object.__setattr__(slow[0], "usual_s", 6000.0)
    object.__setattr__(slow[0], "spread", 1.0)
    session = Player(show, slow, Pauses(), 1).play(0)
    assert session.hints == 2
    first, second = 24 * MINUTE, 26 * MINUTE
    after_first = first + (100 * MINUTE - first) // 2
    after_second = second + (after_first - second) // 2
    assert abs(session.solved["lamp"] - after_second) < 5 * RATE  # a hint waits for its border


def test_a_milestone_counts_as_overdue_only_while_the_session_lasts():
    """Ended before its target, a session was not late for it."""
    show = night_watch()
    sessions = [
        TeamSession(solved={"lamp": 21 * MINUTE}, ended=None),
        TeamSession(solved={}, ended=10 * MINUTE, last_segment="home"),
        TeamSession(solved={"lamp": 20 * MINUTE, "gate": 30 * MINUTE}, ended=31 * MINUTE),
    ]
    lamp, gate = report_on(show, sessions, 1).milestones
    assert (lamp.met, lamp.overdue, lamp.stalled) == (0.6667, 0.3333, 0.0)
    assert (gate.met, gate.overdue) == (0.3333, 0.3333)


def test_percentiles_are_of_the_nearest_rank():
    """Of 1 s to 10 s the median is 5, nine in ten are up to 9; of none there is none."""
    spread = Spread.of(second * RATE for second in range(10, 0, -1))
    assert (spread.mean_s, spread.median_s, spread.p90_s, spread.worst_s) == (5.5, 5.0, 9.0, 10.0)
    assert Spread.of([]).median_s is None
