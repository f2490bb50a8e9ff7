"""A question before a move that cannot be undone, and the words that differ between consoles."""

from collections.abc import Callable
from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Wording:
    """What differs in answers and questions: on the screen, in line mode, over a recording."""

    take_back: str = "Ctrl+Z"
    go_on: str = "Ctrl+O"
    plain_voice: str = "Ctrl+P"
    stop_voice: str = "Ctrl+P and Enter"
    start: str = "Ctrl+S"
    leaving: str = "Take the station off air?"
    """What is asked before that."""
    leaving_session: str = "A SESSION RUNS, all falls silent! Take the station off air?"
    """What is asked while one runs."""


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked before a move that cannot be undone, or that the whole room hears."""

    sentence: str
    act: Callable[[], None]
    asked_s: float
    grave: bool = False
    """Whether the game itself leaves the air."""
    again: str = ""
    """The key that asked and also answers when it is pressed once more, or held; mostly none."""
    enter_from_s: float = 0.0
    """Enter answers from then on; before, it is taken for a reflex."""
    refused: Callable[[], None] = lambda: None
    """What No does, beside closing it."""
