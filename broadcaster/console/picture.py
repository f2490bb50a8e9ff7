"""A picture of the screen: the console is run without a terminal, and its rows drawn as SVG."""

import asyncio
import re
from collections.abc import Sequence
from html import escape

from rich.cells import cell_len

from broadcaster.clock import Clock
from broadcaster.console.app import Console
from broadcaster.console.board import Board
from broadcaster.console.palette import Ink
from broadcaster.console.rows import Row
from broadcaster.script.programme import Programme
from broadcaster.story.events import OutEvent

COLUMN_PX = 9
ROW_PX = 20
BASELINE_PX = 15
"""From a row's upper edge to the line that its letters stand on."""
FONTS = "'DejaVu Sans Mono','Cascadia Mono',Menlo,Consolas,monospace"
FRAME_PX = 12
BLOCKS = {
    "█": (0.0, 0.0, 1.0, 1.0),
    "▀": (0.0, 0.0, 1.0, 0.5),
    "▄": (0.0, 0.5, 1.0, 0.5),
    "▌": (0.0, 0.0, 0.5, 1.0),
    "▐": (0.5, 0.0, 0.5, 1.0),
}
"""Blocks are drawn as areas (left, top, width, height, in parts of a cell): fonts leave seams."""
RUN = re.compile(r"([█▀▄▌▐])\1*|[^ █▀▄▌▐]+(?: [^ █▀▄▌▐]+)*")
"""One block repeated, or words."""


def console_picture(
    programme: Programme,
    events: Sequence[OutEvent],
    clock: Clock,
    *,
    size: tuple[int, int] = (110, 34),
    keys: Sequence[str] = (),
    daylight: bool = False,
) -> str:
    """The screen after these events, and after these keys were pressed, as an SVG document.

    `size` is in columns and rows. The clock is the one that the console would be given.
    """
    return asyncio.run(_picture(programme, events, clock, size, keys, daylight))


async def _picture(
    programme: Programme,
    events: Sequence[OutEvent],
    clock: Clock,
    size: tuple[int, int],
    keys: Sequence[str],
    daylight: bool,
) -> str:
    untold = list(events)

    def tell() -> list[OutEvent]:
        told, untold[:] = list(untold), []
        return told

    console = Console(Board(programme, clock), lambda _: None, tell, clock)
    async with console.run_test(size=size) as pilot:
        console.refresh_panels()
        await pilot.press(*(["ctrl+t"] if daylight else []), *keys)
        await pilot.pause()
        console.refresh_panels()
        return _document(console, size)


def _document(console: Console, size: tuple[int, int]) -> str:
    width, height = size[0] * COLUMN_PX, size[1] * ROW_PX
    drawn = [
        _row(row, panel.region.x, panel.region.y + y)
        for panel in console.panels
        if panel.is_on_screen
        for y, row in enumerate(panel.shown)
    ]
    full_width, full_height = width + 2 * FRAME_PX, height + 2 * FRAME_PX
    ground = console.palette.panel.ground
    return "\n".join(
        [
            f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {full_width} {full_height}"'
            f' font-family="{FONTS}" font-size="15">',
            f'<rect width="{full_width}" height="{full_height}" rx="10" fill="{ground}"/>',
            f'<g transform="translate({FRAME_PX} {FRAME_PX})" xml:space="preserve">',
            *drawn,
            "</g>",
            "</svg>",
            "",
        ]
    )


def _row(row: Row, column: int, y: int) -> str:
    parts: list[str] = []
    for text, ink in row:
        parts.append(_area(column, y, (0, 0, cell_len(text), 1), ink.ground))
        parts += [
            _run(run[0], column + cell_len(text[: run.start()]), y, ink)
            for run in RUN.finditer(text)
        ]
        column += cell_len(text)
    return "".join(parts)


def _run(run: str, column: int, y: int, ink: Ink) -> str:
    if run[0] in BLOCKS:
        left, top, width, height = BLOCKS[run[0]]
        return "".join(
            _area(column + n, y, (left, top, width * count, height), ink.letters)
            for n, count in ([(0, len(run))] if width == 1 else [(n, 1) for n in range(len(run))])
        )
    weight = ' font-weight="bold"' if ink.bold else ""
    return (
        f'<text x="{column * COLUMN_PX}" y="{y * ROW_PX + BASELINE_PX}"'
        f' textLength="{cell_len(run) * COLUMN_PX}" lengthAdjust="spacingAndGlyphs"'
        f' fill="{ink.letters}"{weight}>{escape(run)}</text>'
    )


def _area(column: int, y: int, part: tuple[float, float, float, float], colour: str) -> str:
    left, top, width, height = part
    return (
        f'<rect x="{(column + left) * COLUMN_PX:g}" y="{(y + top) * ROW_PX:g}"'
        f' width="{width * COLUMN_PX:g}" height="{height * ROW_PX:g}" fill="{colour}"'
        ' shape-rendering="crispEdges"/>'
    )
