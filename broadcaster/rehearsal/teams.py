"""Many random teams, and what they come to together.

Each team is a function of the programme, the seed and its number, so any number of processes comes
to the same report.
"""

import multiprocessing
import os
from collections.abc import Callable, Iterator
from concurrent.futures import ProcessPoolExecutor
from dataclasses import dataclass
from pathlib import Path

from broadcaster.rehearsal.lengths import Lengths
from broadcaster.rehearsal.solving import Task, tasks_of
from broadcaster.rehearsal.team import Player, TeamSession
from broadcaster.script.programme import Programme

CHUNK = 20
"""How many teams a process plays between two reports: about a second's worth."""

Progress = Callable[[int, int], None]
"""Told how many teams of how many have played."""


@dataclass(frozen=True, slots=True)
class _Batch:
    """All that a process needs to play teams in a row."""

    programme: Programme
    tasks: tuple[Task, ...]
    seed: int
    numbers: range
    folder: Path
    known: dict[str, int]


def play_teams(
    programme: Programme,
    teams: int,
    seed: int,
    lengths: Lengths,
    progress: Progress,
    workers: int | None = None,
) -> list[TeamSession]:
    """So many teams' sessions. `workers`: processes; None: one for each of the machine's cores.

    Raises UsageError for a programme that random teams cannot play.
    """
    tasks = tasks_of(programme)
    lengths.measure_all()
    workers = min(workers or os.cpu_count() or 1, -(-teams // CHUNK))
    if workers > 1:
        played = _in_processes(programme, tasks, teams, seed, lengths, workers)
    else:
        player = Player(programme, tasks, lengths, seed)
        played = ([player.play(number) for number in chunk] for chunk in _chunks(teams))
    sessions: list[TeamSession] = []
    for some in played:
        sessions += some
        progress(len(sessions), teams)
    return sessions


def _chunks(teams: int) -> Iterator[range]:
    for first in range(0, teams, CHUNK):
        yield range(first, min(first + CHUNK, teams))


def _in_processes(
    programme: Programme,
    tasks: tuple[Task, ...],
    teams: int,
    seed: int,
    lengths: Lengths,
    workers: int,
) -> Iterator[list[TeamSession]]:
    batches = (
        _Batch(programme, tasks, seed, numbers, lengths.folder, lengths.known)
        for numbers in _chunks(teams)
    )
    # Spawned and not forked: the same on every system, whatever threads there are.
    context = multiprocessing.get_context("spawn")
    with ProcessPoolExecutor(workers, mp_context=context) as pool:
        for sessions, measured in pool.map(_play, batches):
            lengths.learn(measured)
            yield sessions


def _play(batch: _Batch) -> tuple[list[TeamSession], dict[str, int]]:
    """Play a batch; the sessions, and the lengths that had to be measured."""
    lengths = Lengths(batch.programme, batch.folder, batch.known)
    player = Player(batch.programme, batch.tasks, lengths, batch.seed)
    sessions = [player.play(number) for number in batch.numbers]
    return sessions, {
        key: frames for key, frames in lengths.known.items() if key not in batch.known
    }
