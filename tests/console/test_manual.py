"""The manual's pages."""

import re
import shlex
from pathlib import Path

import pytest

import broadcaster
from broadcaster.cli import RUNS
from broadcaster.command_line import parser
from broadcaster.console.manual import show_topic, show_topics, topics
from broadcaster.errors import UsageError

PAGES = sorted((Path(broadcaster.__file__).parent / "manual").glob("*.md"))


def test_every_page_has_a_title_and_can_be_shown(capsys) -> None:
    """Where nobody looks at a terminal, as it is written."""
    assert topics()
    for name, title in topics().items():
        show_topic(name)
        assert capsys.readouterr().out.startswith(f"# {title}\n")


def test_the_pages_are_listed(capsys) -> None:
    """By their names."""
    show_topics()
    assert "room" in capsys.readouterr().out


def test_a_page_that_is_not_there_is_not_shown() -> None:
    """And the nearest one is named."""
    with pytest.raises(UsageError, match="Did you mean `room`"):
        show_topic("rom")


@pytest.mark.parametrize("page", PAGES, ids=lambda page: page.stem)
def test_the_commands_on_a_page_can_be_typed(page) -> None:
    """Commands and options are those of the program; pages that are named are there."""
    text = page.read_text(encoding="utf-8").replace("\\\n", "")
    for command in re.findall(r"^(?: {4})?broadcaster (.+)$", text, re.MULTILINE):
        parser(RUNS).parse_args(shlex.split(command))
    for named in re.findall(r"`(?:broadcaster )?manual\s(\w\S*)`", text):
        assert named in topics()
