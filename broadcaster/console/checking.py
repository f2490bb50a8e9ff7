"""The command `check`: its progress, and the times of the clues as a table."""

from itertools import count

from rich.console import Console
from rich.table import Table

from broadcaster.console.progress import Bar
from broadcaster.desk.places import cache_folder
from broadcaster.rehearsal.checking import Report, check_script
from broadcaster.rehearsal.lengths import Lengths
from broadcaster.rehearsal.tune_in_clues import LOOK_UP_S, ClueTimes
from broadcaster.script.programme import Programme

_COLUMNS = ("length", "worst", "mean", "90 %", "assembled", "beginner")


def checked(script: str, *, clues: bool, settings: str | None, cache: str | None) -> Report:
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
            settings=settings,
            progress=lambda done, known: bar.tell("Proving", done, known),
        )


def show_clues(report: Report) -> None:
    """Print the times of each clue in a segment that repeats."""
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
