"""The screen as a watcher of a broadcast: the console's end of the one door."""

from broadcaster.clock import Clock
from broadcaster.console.app import run_console
from broadcaster.desk.airing import Airing
from broadcaster.script.programme import Programme


def watch_on_screen(programme: Programme, airing: Airing, clock: Clock) -> None:
    """Show the console until the operator leaves it or the station has closed."""
    run_console(programme, airing.send, airing.events, clock)
