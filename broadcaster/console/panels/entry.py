"""The line on which the operator writes, in as many rows as it needs; the cursor is a dark cell."""

from rich.cells import cell_len

from broadcaster.console.draft import Draft
from broadcaster.console.paging import pages
from broadcaster.console.palette import Palette
from broadcaster.console.rows import Row, filled

INDENT = 2


def entry_rows(draft: Draft, width: int, rows: int, palette: Palette, *, cursor: bool) -> list[Row]:
    """The draft in so many rows; where it is longer, those around the cursor."""
    columns = max(1, width - 2 * INDENT - 1)
    lines = _lines(draft.text, columns)
    at = max(n for n, (start, _) in enumerate(lines) if start <= draft.cursor)
    first = max(0, min(at - rows + 1, len(lines) - rows))
    shown: list[Row] = []
    for number, (start, line) in enumerate(lines[first : first + rows], start=first):
        here = draft.cursor - start if cursor and number == at else None
        shown.append(_row(line, here, width, palette))
    return shown + [_row("", None, width, palette)] * (rows - len(shown))


def _lines(text: str, columns: int) -> list[tuple[int, str]]:
    """Where each line begins, and its letters, spaces at its end included."""
    starts = [page.start for page in pages(text, columns, 1, cell_len)] or [0]
    ends = [*starts[1:], len(text)]
    return [(start, text[start:end]) for start, end in zip(starts, ends, strict=True)]


def _row(line: str, cursor: int | None, width: int, palette: Palette) -> Row:
    ink = palette.entry
    if cursor is None:
        row: Row = ((" " * INDENT + line, ink),)
    else:
        row = (
            (" " * INDENT + line[:cursor], ink),
            (line[cursor : cursor + 1] or " ", palette.entry_cursor),
            (line[cursor + 1 :], ink),
        )
    return filled(row, width, ink)
