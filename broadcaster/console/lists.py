"""Lists of what there is: voices, sounds, outputs."""

import sys
from collections.abc import Mapping

from rich.console import Console
from rich.table import Table

PIPE_COLUMNS = 200
"""How wide a list is where no terminal tells its width."""


def show_list(rows: Mapping[str, Mapping[str, object]]) -> None:
    """A table with a row for each name."""
    table = Table(box=None, pad_edge=False)
    table.add_column("name", no_wrap=True)
    for column in next(iter(rows.values()), {}):
        table.add_column(column)
    for name, row in rows.items():
        table.add_row(name, *(str(value) for value in row.values()))
    Console(width=None if sys.stdout.isatty() else PIPE_COLUMNS).print(table)
