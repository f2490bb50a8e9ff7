"""Lists of what there is: voices, sounds, outputs."""

from collections.abc import Mapping

from rich.console import Console
from rich.table import Table


def show_list(rows: Mapping[str, Mapping[str, object]]) -> None:
    """A table with a row for each name."""
    table = Table(box=None, pad_edge=False)
    for column in ("name", *next(iter(rows.values()), {})):
        table.add_column(column)
    for name, row in rows.items():
        table.add_row(name, *(str(value) for value in row.values()))
    Console().print(table)
