"""Line mode: the console for a screen reader, a dumb terminal or a pipe.

What happens is printed as it is for a pipe, a line each; what is typed is obeyed, and answered.
"""

import signal
import sys
import threading
from collections import deque
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from typing import TextIO

from broadcaster.clock import Clock
from broadcaster.console.acts import Acts
from broadcaster.console.asking import TYPED, Wording
from broadcaster.console.board import Board
from broadcaster.console.lines import OnAir, follow, show_as_line
from broadcaster.console.typed import Typist
from broadcaster.script.programme import Programme
from broadcaster.story.events import CloseStation, OutEvent

CTRL_C = "\x03"
"""As what Ctrl-C stands among the lines (ETX: ECMA-48, 5.2)."""
GREETING = (
    "Type `help` and Enter for all that can be typed, `now` for how things stand. "
    "Times count from the opening of the station."
)


def watch_in_line_mode(
    programme: Programme,
    airing: OnAir,
    clock: Clock,
    *,
    wording: Wording = TYPED,
    show: Callable[[OutEvent], None] = show_as_line,
    asks: bool = True,
) -> None:
    """Print what happens and obey what is typed, until the station has closed.

    When nothing more can be typed (the end of a pipe), what happens is still printed. `asks`:
    on a terminal Ctrl-C asks first while a session runs; else it closes the station.
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
        told = typist.settle()
        while typed and (CTRL_C in typed or _stands(board)):
            line = typed.popleft()
            told += typist.interrupt() if line == CTRL_C else typist.obey(line)
        for answer in told:
            print(answer, flush=True)

    if asks and sys.stdin.isatty():
        with _typed_by_ctrl_c(typed):
            follow(airing, clock, turn)
    else:
        follow(airing, clock, turn)


@contextmanager
def _typed_by_ctrl_c(typed: deque[str]) -> Iterator[None]:
    """Ctrl-C waits for its turn among the lines that are typed."""
    before = signal.signal(signal.SIGINT, lambda *_: typed.append(CTRL_C))
    try:
        yield
    finally:
        signal.signal(signal.SIGINT, before)


def _stands(board: Board) -> bool:
    """Whether it is known how things stand: what is typed before is answered then."""
    return board.closed or board.view().output is not None


def _read(source: TextIO) -> deque[str]:
    """The lines that are typed, as they come; a thread waits for them."""
    typed: deque[str] = deque()
    threading.Thread(target=typed.extend, args=(source,), name="typing", daemon=True).start()
    return typed
