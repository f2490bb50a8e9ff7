"""What many teams' sessions tell a designer: who hears what, who waits how long, who gets home."""

from collections import Counter
from collections.abc import Iterable, Sequence
from dataclasses import asdict, dataclass
from typing import Any

from broadcaster.rehearsal.solving import Task, tasks_of
from broadcaster.rehearsal.team import TeamSession
from broadcaster.script.programme import Programme
from broadcaster.units import frames_from_seconds, seconds_from_frames


@dataclass(frozen=True, slots=True)
class Spread:
    """Lengths of time over many teams, in seconds; all None where there are none."""

    mean_s: float | None
    median_s: float | None
    p90_s: float | None
    """Nine in ten are not longer."""
    worst_s: float | None

    @staticmethod
    def of(frames: Iterable[int]) -> "Spread":
        """The spread of lengths in frames. Percentiles are of the nearest rank."""
        seconds = sorted(map(seconds_from_frames, frames))
        if not seconds:
            return Spread(None, None, None, None)
        median, p90 = (seconds[-(-len(seconds) * part // 100) - 1] for part in (50, 90))
        mean = sum(seconds) / len(seconds)
        return Spread(*(round(value, 3) for value in (mean, median, p90, seconds[-1])))


@dataclass(frozen=True, slots=True)
class SegmentShare:
    """How many teams heard a segment, and when they came to it first, in session time."""

    segment: str
    share: float
    first: Spread


@dataclass(frozen=True, slots=True)
class MilestoneShare:
    """How teams fared with a milestone."""

    milestone: str
    usual_s: float
    spread: float
    met: float
    """The share that met it within the session."""
    overdue: float
    """The share that had not met it by its target time."""
    stalled: float
    """The share that had not met it by its hint time."""
    when: Spread
    """When it was met, in session time."""


@dataclass(frozen=True, slots=True)
class ClueShare:
    """A clue: how long teams waited for it.

    The wait is from when a team first came to a segment that sends the clue until the clue had
    gone out whole for the first time, there or elsewhere.
    """

    clue: str
    needed: float
    """The share of teams that came to such a segment."""
    unheard: float
    """The share of those to whom it never went out whole."""
    times_mean: float
    """How often it went out whole to each of those, on average."""
    wait: Spread


@dataclass(frozen=True, slots=True)
class TeamReport:
    """What teams came to. Shares are of all teams, from 0 to 1."""

    programme: str
    teams: int
    seed: int
    finished: float
    """All milestones met within the session's planned length."""
    ended: float
    """The story at its end within the session's planned length."""
    hints_mean: float
    hints: dict[int, int]
    """How many teams were given so many hints."""
    endings: dict[str, float]
    """The segment that was on air at the end, of those whose story ended; the most common first."""
    segments: tuple[SegmentShare, ...]
    milestones: tuple[MilestoneShare, ...]
    clues: tuple[ClueShare, ...]

    def as_record(self) -> dict[str, Any]:
        """The report as plain values for JSON."""
        return asdict(self)


def report_on(programme: Programme, sessions: Sequence[TeamSession], seed: int) -> TeamReport:
    """The report of a programme's teams, one or more."""
    tasks = tasks_of(programme)
    count = len(sessions)
    length = frames_from_seconds(programme.session)
    hints = Counter(session.hints for session in sessions)
    endings = Counter(session.last_segment for session in sessions if session.ended is not None)
    return TeamReport(
        programme=programme.programme,
        teams=count,
        seed=seed,
        finished=_share((len(session.solved) == len(tasks) for session in sessions), count),
        ended=_share((session.ended is not None for session in sessions), count),
        hints_mean=round(sum(session.hints for session in sessions) / count, 3),
        hints=dict(sorted(hints.items())),
        endings={
            segment: round(teams / count, 4)
            for segment, teams in sorted(endings.items(), key=lambda each: (-each[1], each[0]))
        },
        segments=tuple(_segment(name, sessions) for name in programme.segments),
        milestones=tuple(_milestone(task, sessions, length) for task in tasks),
        clues=tuple(_clue(clue, sessions) for clue in _clues(programme)),
    )


def _share(hits: Iterable[bool], of: int) -> float:
    return round(sum(hits) / of, 4) if of else 0.0


def _segment(name: str, sessions: Sequence[TeamSession]) -> SegmentShare:
    first = [session.entered[name] for session in sessions if name in session.entered]
    return SegmentShare(name, round(len(first) / len(sessions), 4), Spread.of(first))


def _milestone(task: Task, sessions: Sequence[TeamSession], length: int) -> MilestoneShare:
    name, count = task.milestone, len(sessions)
    over = [session.ended if session.ended is not None else length for session in sessions]
    solved = [
        session.solved.get(name, end + 1) for session, end in zip(sessions, over, strict=True)
    ]

    def behind(target: int) -> float:
        late = (target <= end and frame > target for frame, end in zip(solved, over, strict=True))
        return _share(late, count)

    return MilestoneShare(
        milestone=name,
        usual_s=task.usual_s,
        spread=task.spread,
        met=_share((name in session.solved for session in sessions), count),
        overdue=behind(task.by_frames),
        stalled=behind(task.stalled_frames),
        when=Spread.of(session.solved[name] for session in sessions if name in session.solved),
    )


def _clues(programme: Programme) -> list[str]:
    """Every clue that a running order sends, once, in the order of the script."""
    items = (item for segment in programme.segments.values() for item in segment.play)
    return list(dict.fromkeys(item.clue for item in items if item.clue))


def _clue(clue: str, sessions: Sequence[TeamSession]) -> ClueShare:
    needing = [session for session in sessions if clue in session.needed]
    times = sum(session.times.get(clue, 0) for session in needing)
    waits = [
        session.heard[clue] - session.needed[clue] for session in needing if clue in session.heard
    ]
    return ClueShare(
        clue,
        needed=round(len(needing) / len(sessions), 4),
        unheard=_share((clue not in session.heard for session in needing), len(needing)),
        times_mean=round(times / len(needing), 3) if needing else 0.0,
        wait=Spread.of(waits),
    )
