"""The manual's pages."""

import pytest

from broadcaster.console.manual import show_topic, show_topics, topics
from broadcaster.errors import UsageError


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
