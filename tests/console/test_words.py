"""How the team gets on, in the log and in the lines."""

import pytest

from broadcaster.console.lines import line_of
from broadcaster.console.logbook import log_words
from broadcaster.console.view import Weight
from broadcaster.story.events import (
    Held,
    HintGiven,
    MilestoneMet,
    MilestoneOverdue,
    Resumed,
    Stalled,
    TimetableDropped,
)
from tests.console.scene import at


@pytest.mark.parametrize(
    ("event", "sentence"),
    [
        (MilestoneMet(at(65), "lamp"), "Milestone lamp is met."),
        (MilestoneOverdue(at(65), "lamp"), "Milestone lamp is overdue."),
        (Stalled(at(65), "lamp"), "The team has stalled: lamp."),
        (HintGiven(at(65), "watch", 2, 3, "the operator"), "Hint 2 of 3: the operator."),
        (TimetableDropped(at(65), 0, "It is dropped."), "It is dropped."),
        (Held(at(65)), "The session is held."),
        (Resumed(at(65)), "The session goes on."),
    ],
)
def test_each_event_of_a_sessions_pace_is_said(event, sentence):
    """One sentence, the same on the screen and for a pipe, at its own moment."""
    assert log_words(event) == (at(65), Weight.STORY, sentence)
    assert line_of(event) == f"    1:05  {sentence}"
