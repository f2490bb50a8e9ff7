"""The console without a terminal: runs it in a test, and reads what stands on it."""

import asyncio
from collections.abc import Awaitable, Callable
from dataclasses import dataclass, field

from textual.pilot import Pilot

from broadcaster.clock import VirtualClock
from broadcaster.console.app import Console
from broadcaster.console.asking import Wording
from broadcaster.console.board import Board
from broadcaster.console.panels.panel import Panel
from broadcaster.console.rows import plain
from broadcaster.script.programme import Programme
from broadcaster.story.events import InEvent, OutEvent
from tests.console import scene


@dataclass
class Station:
    """A station that tells what the test puts in `telling`, and keeps what it was sent."""

    telling: list[OutEvent] = field(default_factory=list)
    sent: list[InEvent] = field(default_factory=list)

    def events(self) -> list[OutEvent]:
        """What was not told yet."""
        told, self.telling = self.telling, []
        return told


@dataclass
class Trial:
    """A console that is running, and what it is connected to."""

    console: Console
    pilot: Pilot[None]
    station: Station
    clock: VirtualClock

    async def press(self, *keys: str) -> list[InEvent]:
        """Press keys; what they sent to the station."""
        self.station.sent.clear()
        await self.pilot.press(*keys)
        return list(self.station.sent)

    async def click(self, panel: str, words: str) -> list[InEvent]:
        """Click in the middle of words that stand on a panel; what that sent to the station."""
        self.station.sent.clear()
        rows = [plain(row) for row in self.console.query_one(f"#{panel}", Panel).shown]
        y = next(number for number, row in enumerate(rows) if words in row)
        x = rows[y].index(words) + len(words) // 2
        await self.pilot.click(f"#{panel}", offset=(x, y))
        return list(self.station.sent)

    async def tell(self, *events: OutEvent) -> None:
        """Let the station tell, and the screen follow."""
        self.station.telling += events
        self.console.refresh_panels()
        await self.pilot.pause()

    def text(self, panel: str = "") -> str:
        """What stands on the screen, or on one of its panels."""
        return "\n".join(
            plain(row)
            for shown in self.console.panels
            if panel == shown.id or (panel == "" and shown.is_on_screen)
            for row in shown.shown
        )

    def screen(self) -> list[str]:
        """The rows of the terminal, as they are drawn."""
        width, height = self.console.size
        drawn = [[" "] * width for _ in range(height)]
        for panel in self.console.panels:
            if not panel.is_on_screen:
                continue
            for y in range(panel.size.height):
                text = panel.render_line(y).text
                left = panel.region.x
                drawn[panel.region.y + y][left : left + len(text)] = text
        return ["".join(row) for row in drawn]


def on_console(
    work: Callable[[Trial], Awaitable[None]],
    *events: OutEvent,
    size: tuple[int, int] = (80, 24),
    programme: Programme | None = None,
    wording: Wording = Wording(),  # noqa: B008  it is frozen
) -> None:
    """Run a console after these events, and let the test work on it."""

    async def run() -> None:
        station, clock = Station(list(events)), scene.clock()
        board = Board(programme or scene.programme(), clock)
        console = Console(board, station.sent.append, station.events, clock, wording)
        async with console.run_test(size=size) as pilot:
            await pilot.pause()
            console.refresh_panels()
            await pilot.pause()
            await work(Trial(console, pilot, station, clock))

    asyncio.run(run())
