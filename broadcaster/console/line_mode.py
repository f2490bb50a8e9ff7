"""Line mode: the console for a screen reader, a dumb terminal or a pipe.

What happens is printed as it is for a pipe, a line each; what is typed is obeyed, and answered.
"""

import sys
import threading
from collections import deque
from collections.abc import Callable
from typing import TextIO

from broadcaster.clock import Clock
from broadcaster.console.acts import Acts
from broadcaster.console.asking import TYPED, Wording
from broadcaster.console.board import Board
from broadcaster.console.lines import OnAir, follow, show_as_line
from broadcaster.console.typed import Typist
from broadcaster.script.programme import Programme
from broadcaster.story.events import CloseStation, OutEvent

GREETING = "Type `help` and Enter for all that can be typed, `now` for how things stand."


def watch_in_line_mode(
    programme: Programme,
    airing: OnAir,
    clock: Clock,
    *,
    wording: Wording = TYPED,
    show: Callable[[OutEvent], None] = show_as_line,
) -> None:
    """Print what happens and obey what is typed, until the station has closed.

    When nothing more can be typed (the end of a pipe), what happens is still printed.
    """
    board = Board(programme, clock)
    acts = Acts(
        airing.send,
        clock,
        leave=lambda: airing.send(CloseStation()),
        monitor=airing.monitor,
        wording=wording,
    )
    typist, typed = Typist(acts, board), _read(sys.stdin)
    print(GREETING, flush=True)

    def turn() -> None:
        for event in airing.events():
            board.apply(event)
            show(event)
        while typed and _stands(board):
            for answer in typist.obey(typed.popleft()):
                print(answer, flush=True)

    follow(airing, clock, turn)


def _stands(board: Board) -> bool:
    """Whether it is known how things stand: what is typed before is answered then."""
    return board.closed or board.view().output is not None


def _read(source: TextIO) -> deque[str]:
    """The lines that are typed, as they come; a thread waits for them."""
    typed: deque[str] = deque()
    threading.Thread(target=typed.extend, args=(source,), name="typing", daemon=True).start()
    return typed
