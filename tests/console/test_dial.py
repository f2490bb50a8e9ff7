"""The dial's scale: engraved with the seconds of the item on air."""

import pytest

from broadcaster.console.panels.dial import engraved


def test_twelve_seconds_in_sixty_columns():
    """A second is five columns: a figure every two seconds, a mark every half."""
    # half a second is two and a half columns: marks stand on the nearest whole one
    marks, figures = engraved(12.0, 60)
    assert marks.startswith("│ ╷  ╷  ╷ │ ╷  ╷  ╷ │")
    assert figures.startswith("0         2         4 ")
    assert figures.endswith(" s of this item")


def test_minutes():
    """From a minute on, the figures are minutes and seconds."""
    _, figures = engraved(150.0, 76)
    assert figures.split() == ["0", "30", "1:00", "1:30", "of", "this", "item"]


@pytest.mark.parametrize("length_s", [0.05, 0.4, 1.0, 7.3, 59.9, 61.0, 600.0, 7200.0])
@pytest.mark.parametrize("columns", [8, 40, 76, 196])
def test_the_scale_fits(length_s, columns):
    """Whatever the length, marks and figures take the columns given, and begin at nought."""
    marks, figures = engraved(length_s, columns)
    assert len(marks) == len(figures) == columns
    assert (marks[0], figures[0]) == ("│", "0")


@pytest.mark.parametrize("length_s", [1.0, 7.3, 59.9, 61.0, 600.0])
def test_figures_do_not_touch(length_s):
    """Figures stand at least a column apart, each under its mark."""
    marks, figures = engraved(length_s, 76)
    unit = figures.index("of this item") - len(" s ")
    for place, mark in enumerate(marks[: unit - len("00:00")]):
        if mark == "│":
            assert figures[place] != " "
            assert place == 0 or figures[place - 1] == " "
