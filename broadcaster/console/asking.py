"""A question before a move that cannot be undone, and the words that differ between consoles."""

from collections.abc import Callable
from dataclasses import dataclass, replace

from broadcaster.clock import Clock

ASKING_S = 10.0
"""How long a question waits for its answer."""
READING_S = 1.0
"""How long it takes to see a question at all. Chosen."""
SAYING_S = 6.0
"""How long the answer to a key stays."""


@dataclass(frozen=True, slots=True)
class Wording:
    """What differs in answers and questions: on the screen, in line mode, over a recording."""

    take_back: str = "Ctrl+Z"
    go_on: str = "Ctrl+O"
    hold: str = "Ctrl+O"
    after_round: str = "Ctrl+R"
    """How a jump is made that cuts nothing."""
    plain_voice: str = "Ctrl+P"
    stop_voice: str = "Ctrl+P and Enter"
    start: str = "Ctrl+S"
    leaving: str = "Take the station off air?"
    """What is asked before that."""
    leaving_session: str = "A SESSION RUNS: all silent! Take the station off air?"
    """What is asked while one runs."""
    stays: bool = False
    """Whether nothing goes off air when this console is left."""


TYPED = Wording(
    take_back="`back`",
    hold="`hold`",
    go_on="`go on`",
    after_round="`after round`",
    plain_voice="`plain voice`",
    stop_voice="`stop plain voice`",
    start="`start`",
)
"""What differs in line mode."""


def leaving(asked: str, wording: Wording = Wording()) -> Wording:
    """The words of a console that takes no station off air: `asked` is its question."""
    return replace(wording, leaving=asked, leaving_session=asked, stays=True)


@dataclass(frozen=True, slots=True)
class Question:
    """What is asked before a move that cannot be undone, or that the whole room hears."""

    sentence: str
    """What it would do stands first: where there is little room, the end gives way."""
    act: Callable[[], None]
    asked_s: float
    unanswered: str
    """In a clause, what an answer that never came leaves as it is: `no jump is made`."""
    grave: bool = False
    """Whether the game itself leaves the air."""
    again: str = ""
    """The key that asked and also answers when it is pressed once more, or held; mostly none."""
    gentler: str = ""
    """The key that does it without what is asked about; mostly none."""
    enter_from_s: float = 0.0
    """Enter answers from then on; before, it is taken for a reflex."""
    remark: str = ""
    """Why the last key was no answer."""
    refused: Callable[[], None] = lambda: None
    """What No does, beside closing it."""


class Asking:
    """The question that is open, and the last answer."""

    def __init__(self, clock: Clock) -> None:
        self.question: Question | None = None
        self.remark = ""
        """An answer to what was done last, while it is fresh."""
        self._clock = clock
        self._said_s = 0.0

    def expire(self) -> None:
        """Time passes: a question left unanswered is dropped, an answer goes."""
        now = self._clock.seconds()
        if now - self._said_s > SAYING_S:
            self.remark = ""
        if self.question and now - self.question.asked_s > ASKING_S:
            self.say(f"Not answered: {self.question.unanswered}.")
            self.question = None

    @property
    def just_asked(self) -> bool:
        """Whether the question cannot have been read yet: an answer would be a reflex."""
        question = self.question
        return question is not None and self._clock.seconds() - question.asked_s < READING_S

    def say(self, sentence: str) -> None:
        """Answer."""
        self.remark, self._said_s = sentence, self._clock.seconds()

    def ask(
        self,
        sentence: str,
        act: Callable[[], None],
        unanswered: str,
        *,
        grave: bool = False,
        gentler: str = "",
    ) -> None:
        """Put a question before an act."""
        now = self._clock.seconds()
        self.question = Question(sentence, act, now, unanswered, grave, gentler=gentler)
