"""The settings that the README and the manual show can be put to use as they stand."""

import re
from pathlib import Path
from textwrap import dedent

import pytest

import broadcaster
from broadcaster.script.loading import load_programme
from broadcaster.script.venue_settings import SECTIONS, read_settings

TOP = Path(__file__).parents[2]
PAGES = (TOP / "README.md", *(Path(broadcaster.__file__).parent / "manual").glob("*.md"))
OPENS = tuple(f"{section}:" for section in (*SECTIONS, "facts"))
"""How a block of settings begins."""


def shown(page: Path) -> list[str]:
    """The blocks of settings on a page: between fences, or indented."""
    text = page.read_text(encoding="utf-8")
    blocks = re.findall(r"^```\w*\n(.*?)^```", text, re.DOTALL | re.MULTILINE)
    blocks += re.findall(r"(?:^ {4}.*\n)+", text, re.MULTILINE)
    return [block for block in map(dedent, blocks) if block.startswith(OPENS)]


EXAMPLES = [
    pytest.param(block, id=f"{page.stem} {number}")
    for page in PAGES
    for number, block in enumerate(shown(page), start=1)
]


def test_the_examples_are_found() -> None:
    """Each section is shown somewhere, and so is the README's own file."""
    assert shown(PAGES[0])
    blocks = "\n".join(block for page in PAGES for block in shown(page))
    assert [name for name in OPENS if not re.search(f"^{name}", blocks, re.MULTILINE)] == []


@pytest.mark.parametrize("example", EXAMPLES)
def test_an_example_is_read_without_a_fault(example: str, tmp_path: Path) -> None:
    """The reader takes it whole, for the script that ships: its facts are there, its ways open."""
    path = tmp_path / "station.yaml"
    path.write_text(example, encoding="utf-8")
    settings = read_settings(path, load_programme("low-water"))
    assert any(getattr(settings, name) for name in (*SECTIONS, "facts"))
