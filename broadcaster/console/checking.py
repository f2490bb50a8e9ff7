"""The command `check`: its progress, and what it tells of the clues as tables."""

from itertools import count
from typing import TYPE_CHECKING

from rich.console import Console
from rich.table import Table

from broadcaster.console.progress import Bar
from broadcaster.desk.places import cache_folder
from broadcaster.rehearsal.checking import Report, check_script
from broadcaster.rehearsal.lengths import Lengths
from broadcaster.rehearsal.tune_in_clues import LOOK_UP_S, ClueTimes
from broadcaster.script.programme import Programme

if TYPE_CHECKING:
    from broadcaster.rehearsal.clue_sound import ClueSound

_COLUMNS = ("length", "worst", "mean", "90 %", "assembled", "beginner")


def checked(
    script: str, *, clues: bool, sound: bool, settings: str | None, cache: str | None
) -> Report:
    """Check a script, with a bar while it takes its time. Raises BroadcasterError."""
    made = count(1)
    with Bar() as bar:

        def lengths_of(programme: Programme) -> Lengths:
            return Lengths(
                programme,
                cache_folder(cache),
                making=lambda _: bar.tell("Making items", next(made)),
            )

        return check_script(
            script,
            lengths_of,
            clues=clues,
            sound_in=cache_folder(cache) if sound else None,
            settings=settings,
            progress=lambda done, known: bar.tell("Proving", done, known),
            listening=lambda done, all_: bar.tell("Listening to clues", done, all_),
        )


def show_clues(report: Report) -> None:
    """Print the times of each clue in a segment that repeats, if there is any and it was timed."""
    if not report.clues:
        return
    console = Console()
    table = Table(title="Seconds from tuning in until a clue has been heard", box=None)
    for name in ("segment", "clue"):
        table.add_column(name)
    for name in _COLUMNS:
        table.add_column(name, justify="right", no_wrap=True)
    for clue in report.clues:
        table.add_row(clue.segment, clue.clue, *_cells(clue))
    console.print(table)
    console.print(
        "assembled: at worst, until each symbol has been heard once, in any order. "
        f"beginner: the same, if each Morse symbol is looked up for {LOOK_UP_S:g} s.",
        highlight=False,
    )
    for clue in report.clues:
        if clue.trouble:
            console.print(f"{clue.segment}, {clue.clue}: {clue.trouble}", markup=False)


def _cells(clue: ClueTimes) -> list[str]:
    times = clue.times
    seconds = (
        times.length_s,
        times.worst_s,
        times.mean_s,
        times.p90_s,
        times.assembled_worst_s,
        times.beginner_worst_s,
    )
    return ["" if each is None else f"{each:.1f}" for each in seconds]


def show_sound(report: Report) -> None:
    """Print how readable each clue goes out, if they were listened to."""
    if not report.sound:
        return
    from broadcaster.listening.solver import ACCURACY  # it makes and weighs samples

    console = Console()
    table = Table(title="Readability of each clue, 1 to 5", box=None)
    for name in ("segment", "clue", "sent as"):
        table.add_column(name)
    for name in ("mean", "worst", "bed dB", "rough", "signal", "at first"):
        table.add_column(name, justify="right", no_wrap=True)
    for clue in report.sound:
        if clue.rated:
            table.add_row(
                clue.segment or "timetable",
                clue.clue,
                clue.kind,
                f"{clue.rated.mean:.1f}",
                f"{clue.rated.worst:.1f}",
                f"{clue.rated.over_bed_db:.0f}",
                f"{clue.roughness:.2f}",
                f"{clue.strength:g}",
                _at_first(clue),
            )
    console.print(table)
    console.print(
        "Predicted for many moments of reception, at the strongest signal that the script allows. "
        "bed dB: over all noise. "
        "rough: 1 is the sound as its table says, 0 the gentlest, 2 the roughest. "
        "at first: the mean, and the signal, with the facts as a session begins. "
        f"Up to {ACCURACY:g} under the clue floor pass: the prediction is no finer.",
        highlight=False,
    )
    for clue in report.sound:
        if clue.trouble:
            where = clue.segment or "timetable"
            console.print(f"{where}, {clue.clue}: {clue.trouble}", markup=False)


def _at_first(clue: "ClueSound") -> str:
    """What differs as a session begins; nothing where the signal does not."""
    if clue.rated_at_first is None or clue.strength_at_first == clue.strength:
        return ""
    return f"{clue.rated_at_first.mean:.1f} at {clue.strength_at_first:g}"
