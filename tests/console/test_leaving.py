"""Leaving a console that takes no station off air: that of another machine's station."""

import pytest

from broadcaster.console.acts import Acts
from broadcaster.console.board import Board
from broadcaster.console.typed import Typist
from broadcaster.console.venue import IN_LINES, ON_SCREEN
from broadcaster.story.events import InEvent
from tests.console.scene import clock, on_air, programme
from tests.console.screen import Trial, on_console

ASKED = "Leave this console? The station stays on air."


@pytest.mark.parametrize("key", ["ctrl+q", "ctrl+c"])
def test_the_question_says_what_it_does(key: str) -> None:
    """While a session runs, too; and the answer leaves, and sends nothing."""

    async def leave(trial: Trial) -> None:
        assert await trial.press(key) == []
        assert ASKED in trial.text("message")
        assert "all silent" not in trial.text("message")
        assert await trial.press("enter") == []
        assert not trial.console.is_running

    on_console(leave, *on_air(), wording=ON_SCREEN)


def test_the_key_is_shown_as_what_it_does() -> None:
    """Among the keys, on the sheet of the session and on the help page."""

    async def look(trial: Trial) -> None:
        assert "Ctrl+Q leave" in trial.text("message")
        await trial.press("tab")
        assert "Ctrl+Q leave" in trial.text("session")
        await trial.press("f1", "end")
        assert "closes this console, and takes nothing off air" in trial.text("help")
        assert "for good" not in trial.text("help")

    on_console(look, *on_air(), size=(150, 50), wording=ON_SCREEN)


def test_in_lines_it_is_called_leave() -> None:
    """`help` has it, and no word that would take the station off air."""
    time = clock()
    board, left, sent = Board(programme(), time), [], list[InEvent]()
    for event in on_air():
        board.apply(event)
    acts = Acts(sent.append, time, leave=lambda: left.append(1), wording=IN_LINES)
    typist = Typist(acts, board)
    told = typist.obey("help")
    assert "leave: close this console; nothing goes off air." in told
    assert not any(line.startswith("off air") for line in told)
    assert typist.obey("off air")[0].startswith("There is no command `off air`.")
    assert typist.obey("leave") == [f"{ASKED} Type yes or no."]
    assert (typist.obey("yes"), left, sent) == ([], [1], [])
