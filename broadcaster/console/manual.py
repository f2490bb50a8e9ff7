"""The manual's pages, as Markdown: files of ours, or made of the forms that they tell of."""

import sys
from pathlib import Path

from rich.console import Console
from rich.markdown import Markdown

import broadcaster
from broadcaster.console.lists import show_list
from broadcaster.errors import UsageError
from broadcaster.script.names import known_names
from broadcaster.script.sounds_page import sounds_page

_MADE = {"sounds": sounds_page}
"""Pages that are made of what they are about."""
_FOLDER = Path(broadcaster.__file__).parent / "manual"
MOST_COLUMNS = 100
"""A line that is longer is hard to read (common practice, no source)."""


def topics() -> dict[str, str]:
    """Every page of the manual by its name, with its title."""
    names = sorted([*(page.stem for page in _FOLDER.glob("*.md")), *_MADE])
    return {name: _text(name).splitlines()[0].lstrip("# ") for name in names}


def show_topics() -> None:
    """A list of the pages."""
    show_list({name: {"about": title} for name, title in topics().items()})


def show_topic(name: str) -> None:
    """A page: laid out on a terminal, elsewhere as it is written. Raises UsageError."""
    known = topics()
    if name not in known:
        raise UsageError(f"The manual has no page {name!r}. {known_names(name, known)}".strip())
    text = _text(name)
    if not sys.stdout.isatty():
        sys.stdout.write(text)
        return
    console = Console()
    console.print(Markdown(text), width=min(console.width, MOST_COLUMNS))


def _text(name: str) -> str:
    if name in _MADE:
        return _MADE[name]()
    return (_FOLDER / f"{name}.md").read_text(encoding="utf-8")
