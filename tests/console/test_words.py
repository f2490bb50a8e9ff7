"""How the team gets on, in the log and in the lines."""

import pytest

from broadcaster.console.lines import line_of
from broadcaster.console.logbook import log_words
from broadcaster.console.view import Weight
from broadcaster.story.events import (
    Commanded,
    FactChanged,
    Held,
    HintGiven,
    MilestoneMet,
    MilestoneOverdue,
    PlainVoiceStarted,
    Resumed,
    SegmentEntered,
    Stalled,
    TimetableDropped,
)
from broadcaster.story.restoring import RESTORED
from tests.console.scene import aired, at, started


@pytest.mark.parametrize(
    ("event", "sentence"),
    [
        (MilestoneMet(at(65), "lamp"), "Milestone lamp is met."),
        (MilestoneMet(at(65), "lamp", at(60)), "Milestone lamp is met at 1:00."),
        (MilestoneOverdue(at(65), "lamp"), "Milestone lamp is overdue."),
        (Stalled(at(65), "lamp"), "The team has stalled: lamp."),
        (HintGiven(at(65), "watch", 2, 3, "the operator"), "Hint 2 of 3 is given (the operator)."),
        (TimetableDropped(at(65), 0, "It is dropped."), "It is dropped."),
        (Commanded(at(65), "mqtt desk", "end session"), "Commanded by mqtt desk: end session."),
        (Held(at(65)), "The session is held."),
        (Resumed(at(65)), "The session goes on."),
    ],
)
def test_each_event_of_a_sessions_pace_is_said(event, sentence):
    """One sentence, the same on the screen and for a pipe, at its own moment."""
    assert log_words(event) == (at(65), Weight.STORY, sentence)
    assert line_of(event) == f"    1:05  {sentence}"


@pytest.mark.parametrize(
    ("event", "sentence"),
    [
        (FactChanged(at(65), "lamp", True, RESTORED), "lamp is yes, says the restored session."),
        (SegmentEntered(at(65), "the lamp", RESTORED), "Segment the lamp: the restored session."),
        (
            PlainVoiceStarted(at(65), "Please leave.", RESTORED),
            "PLAIN VOICE on air, by the restored session: Please leave.",
        ),
    ],
)
def test_what_comes_with_a_restored_session_is_said_to(event, sentence):
    """Whether its end was taken back, or its station died and another goes on."""
    assert log_words(event) == (at(65), Weight.STORY, sentence)


def test_a_cut_clue_is_named_in_the_lines():
    """Which clue a jump cut can be read without a screen."""
    cut = aired(started(0, 10, "2714", item="groups", clue="gate code"), cut_s=5)
    assert line_of(cut) == "    0:05    groups cut [clue: gate code]"
