"""Whoever watches a broadcast, on a screen or in lines: the console's end of the one door.

What they need is loaded when they are called, which is when the station is on its way.
"""

from pathlib import Path
from typing import TYPE_CHECKING

from broadcaster.clock import Clock, SystemClock
from broadcaster.desk.session import Watch

if TYPE_CHECKING:
    from broadcaster.desk.airing import Airing
    from broadcaster.script.programme import Programme


def watch_on_screen(programme: "Programme", airing: "Airing", clock: Clock) -> None:
    """Show the console until the operator leaves it or the station has closed."""
    from broadcaster.console.app import run_console

    run_console(programme, airing.send, airing.events, clock, monitor=airing.monitor)


def watch_in_lines(*, as_json: bool) -> Watch:
    """Whoever shows each event in a line, until the station has closed."""

    def watch(programme: "Programme", airing: "Airing", clock: Clock) -> None:
        from broadcaster.console.lines import lines, show_as_json, show_as_line

        lines(show_as_json if as_json else show_as_line)(programme, airing, clock)

    return watch


def watch_in_line_mode() -> Watch:
    """Whoever reads lines and types some, until the station has closed."""

    def watch(programme: "Programme", airing: "Airing", clock: Clock) -> None:
        from broadcaster.console import line_mode

        line_mode.watch_in_line_mode(programme, airing, clock)

    return watch


def watch_recording(log: Path, script: str | None, speed: float) -> None:
    """Show a log as if it were on air. Without its script, as much as the log itself tells.

    Raises UsageError if the log cannot be read, ScriptError for what is wrong in the script.
    """
    from broadcaster.console.app import run_console
    from broadcaster.console.asking import leaving
    from broadcaster.console.recorded import programme_of
    from broadcaster.console.replay import Replay
    from broadcaster.record.reading import read_log
    from broadcaster.script.loading import load_programme

    clock = SystemClock()
    events = list(read_log(log))
    programme = load_programme(script) if script else programme_of(events)
    replay = Replay(events, clock, speed)
    run_console(programme, replay.send, replay.events, clock, leaving("Close the recording?"))
