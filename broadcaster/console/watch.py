"""Whoever watches a broadcast, on a screen or in lines: the console's end of the one door.

What they need is loaded when they are called, which is when the station is on its way.
"""

from typing import TYPE_CHECKING

from broadcaster.clock import Clock
from broadcaster.desk.session import Watch

if TYPE_CHECKING:
    from broadcaster.desk.airing import Airing
    from broadcaster.script.programme import Programme


def watch_on_screen(programme: "Programme", airing: "Airing", clock: Clock) -> None:
    """Show the console until the operator leaves it or the station has closed."""
    from broadcaster.console.app import run_console

    run_console(programme, airing.send, airing.events, clock)


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
