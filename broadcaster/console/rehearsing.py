"""The command `rehearse`: a session on the virtual clock, told, logged, drawn, and heard."""

import sys
from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from itertools import count
from pathlib import Path

from broadcaster.console.progress import Bar
from broadcaster.desk.agenda import session_agenda
from broadcaster.desk.faultless import faultless_programme
from broadcaster.desk.places import cache_folder
from broadcaster.errors import UsageError
from broadcaster.rehearsal.course import Course
from broadcaster.rehearsal.lengths import Lengths
from broadcaster.rehearsal.session import Rehearsal, Rehearsed
from broadcaster.script.events_file import EventEntry, read_events
from broadcaster.script.programme import Programme
from broadcaster.story.events import SessionEnded
from broadcaster.units import frames_from_seconds


@dataclass(frozen=True, slots=True)
class Wishes:
    """What was asked for on the command line."""

    script: str
    events: str | None
    length_s: float | None
    seed: int
    audio: str | None
    picture: str | None
    log: str | None
    cache: str | None
    as_json: bool


def rehearse(wishes: Wishes) -> None:
    """Rehearse one session. Raises BroadcasterError."""
    programme = faultless_programme(wishes.script)
    entries = read_events(Path(wishes.events), programme) if wishes.events else ()
    rehearsal = Rehearsal(
        programme,
        session_agenda(entries),
        seed=wishes.seed,
        length=None if wishes.length_s is None else frames_from_seconds(wishes.length_s),
    )
    with Bar() as bar:
        lengths = open_lengths(programme, wishes.cache, bar)
        rehearsed = rehearsal.run(lengths)
        lengths.keep()
    if wishes.audio:
        rehearsed = _record(rehearsal, wishes, rehearsed.frames)
    _write_files(wishes, rehearsed)
    _show(wishes, rehearsed)
    for sentence in _left_open(wishes, entries, rehearsed):
        _say(sentence)


def _left_open(
    wishes: Wishes, entries: Sequence[EventEntry], rehearsed: Rehearsed
) -> Iterator[str]:
    """What the rehearsal did not come to, in sentences."""
    ended = any(isinstance(event, SessionEnded) for event in rehearsed.events)
    if wishes.length_s is None and not ended:
        yield "The planned time is up, and no ending was reached; `--for` rehearses longer."
    unused = sum(frames_from_seconds(entry.at) >= rehearsed.frames for entry in entries)
    if unused:
        yield (
            f"Of the events file's entries, {len(entries)} in all, {unused} came after the end, "
            "and nothing came of it."
        )


def open_lengths(programme: Programme, cache: str | None, bar: Bar) -> Lengths:
    """What is known of the items' lengths; the bar tells of those that must be made."""
    counter = count(1)
    return Lengths(
        programme,
        cache_folder(cache),
        making=lambda _: bar.tell("Making items", next(counter)),
    )


def _record(rehearsal: Rehearsal, wishes: Wishes, frames: int) -> Rehearsed:
    from broadcaster.air.preparing import Preparing

    path = Path(str(wishes.audio))
    with (
        Preparing(rehearsal.programme, cache_folder(wishes.cache), tell=_say) as items,
        Bar() as bar,
    ):
        return rehearsal.record(
            items, path, frames, lambda done, total: bar.tell("Recording", done, total)
        )


def _say(sentence: str) -> None:
    print(sentence, file=sys.stderr)  # noqa: T201


def _write_files(wishes: Wishes, rehearsed: Rehearsed) -> None:
    if wishes.log:
        from broadcaster.record.asrun import AsRunLog

        log = AsRunLog(Path(wishes.log))
        for event in rehearsed.events:
            log.write(event)
        log.close()
    if wishes.picture:
        from broadcaster.rehearsal.picture_session import session_picture
        from broadcaster.rehearsal.picture_svg import write_picture

        write_picture(session_picture(Course(rehearsed)), Path(wishes.picture))


def _show(wishes: Wishes, rehearsed: Rehearsed) -> None:
    if wishes.as_json:
        from broadcaster.console.lines import show_as_json

        for event in rehearsed.events:
            show_as_json(event)
    else:
        from broadcaster.console.tables import show_course

        show_course(Course(rehearsed))


def rehearse_teams(wishes: Wishes, teams: int, workers: int | None) -> None:
    """Rehearse with so many random teams. Raises BroadcasterError."""
    from broadcaster.rehearsal.team_report import report_on
    from broadcaster.rehearsal.teams import play_teams

    if teams < 1 or (workers is not None and workers < 1):
        raise UsageError("--teams and --workers are 1 or more.")
    for_one = {"--events": wishes.events, "--for": wishes.length_s, "--audio": wishes.audio}
    for_one |= {"--picture": wishes.picture, "--log": wishes.log}
    for option, value in for_one.items():
        if value is not None:
            raise UsageError(f"{option} is for one session and does not go with --teams.")
    programme = faultless_programme(wishes.script)
    with Bar() as bar:
        lengths = open_lengths(programme, wishes.cache, bar)
        sessions = play_teams(
            programme,
            teams,
            wishes.seed,
            lengths,
            lambda done, total: bar.tell("Teams", done, total),
            workers,
        )
        lengths.keep()
    report = report_on(programme, sessions, wishes.seed)
    if wishes.as_json:
        from broadcaster.console.lines import show_record

        show_record(report.as_record())
    else:
        from broadcaster.console.team_tables import show_teams

        show_teams(report)
