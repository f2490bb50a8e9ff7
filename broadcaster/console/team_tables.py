"""What random teams came to, as tables for a person."""

from rich.console import Console
from rich.table import Table

from broadcaster.rehearsal.solving import HINT_LEAVES
from broadcaster.rehearsal.team_report import Spread, TeamReport
from broadcaster.units import session_clock

_NOTHING = "-"
_WAITED = (
    "Waited: from a team's first coming to a segment that sends the clue until the clue had gone "
    "out whole for the first time."
)


def show_teams(report: TeamReport) -> None:
    """The summary, then endings, segments, milestones and clues."""
    console = Console(highlight=False)
    console.print(
        f"{report.programme}: {report.teams} random teams, seed {report.seed}. "
        f"{_percent(report.finished)} met every milestone before the session was over, "
        f"the story came to its end for {_percent(report.ended)}. Single times are medians."
    )
    console.print(_hints(report), "", sep="\n")
    for table in (_endings(report), _segments(report), _milestones(report), _clues(report)):
        if table.row_count:
            console.print(table, "", sep="\n")
    console.print(_WAITED)


def _hints(report: TeamReport) -> str:
    teams = ", ".join(f"{hints}: {teams}" for hints, teams in report.hints.items())
    return (
        f"Hints that the station gave by itself: {report.hints_mean:.1f} a team (teams by number "
        f"of hints: {teams}). A hint is taken to leave {_percent(HINT_LEAVES)} of the time that a "
        "team still needs."
    )


def _endings(report: TeamReport) -> Table:
    table = _table("ended in", "teams")
    for segment, share in report.endings.items():
        table.add_row(segment, _percent(share))
    return table


def _segments(report: TeamReport) -> Table:
    table = _table("segment", "heard by", "", "first at", "9 in 10 by", "last")
    for row in report.segments:
        table.add_row(row.segment, _percent(row.share), _bar(row.share), *_spread(row.first))
    return table


def _milestones(report: TeamReport) -> Table:
    table = _table(
        *("milestone", "met", "overdue", "stalled", "usual time", "spread"),
        *("met at", "9 in 10 by", "last"),
    )
    for row in report.milestones:
        table.add_row(
            row.milestone,
            *map(_percent, (row.met, row.overdue, row.stalled)),
            session_clock(row.usual_s),
            f"{row.spread:g}",
            *_spread(row.when),
        )
    return table


def _clues(report: TeamReport) -> Table:
    table = _table(
        *("clue", "needed by", "never whole", "went out"),
        *("waited", "9 in 10 up to", "longest"),
    )
    for row in report.clues:
        shares = map(_percent, (row.needed, row.unheard))
        table.add_row(row.clue, *shares, f"{row.times_mean:.1f} times", *_spread(row.wait))
    return table


def _table(first: str, *columns: str) -> Table:
    table = Table(box=None, pad_edge=False)
    table.add_column(first)
    for column in columns:
        table.add_column(column, justify="right" if column else "left")
    return table


def _spread(spread: Spread) -> list[str]:
    """The median, the ninetieth percentile and the worst."""
    values = (spread.median_s, spread.p90_s, spread.worst_s)
    return [_NOTHING if value is None else session_clock(value) for value in values]


def _percent(share: float) -> str:
    if 0 < share < 0.005:
        return "< 1 %"
    return f"{share * 100:.0f} %"


def _bar(share: float) -> str:
    return "▇" * round(share * 10)
