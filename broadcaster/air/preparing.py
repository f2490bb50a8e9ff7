"""Items made ahead of their turn, by worker processes, so that the playout thread never waits.

A worker speaks, keys, plays and decodes, and works out how rough the sound is to be; the station
keeps what came back on a shelf. A worker that dies or hangs is replaced; an item that brings it
down twice is given up.
"""

import multiprocessing
import threading
from collections import OrderedDict
from collections.abc import Callable, Sequence
from contextlib import suppress
from multiprocessing.connection import Connection
from multiprocessing.context import BaseContext
from multiprocessing.process import BaseProcess
from pathlib import Path
from typing import Self

import numpy as np

from broadcaster.air.items import Failure, Made, Outcome, Shelf, frames_of
from broadcaster.air.precedence import stay_behind
from broadcaster.air.solving import Solving
from broadcaster.air.timing import Timing, marks_of
from broadcaster.errors import BroadcasterError
from broadcaster.script.programme import Programme, SpokenItem
from broadcaster.sound.make import make_item
from broadcaster.story.cue import Carrier, Content, Cue, prepared_plainly
from broadcaster.story.events import OF_THE_OPERATOR
from broadcaster.units import frames_from_seconds
from broadcaster.voice.cache import SpeechCache
from broadcaster.voice.engine import Announcer
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.word_finder import WordFinder

SHELF_FRAMES = frames_from_seconds(250.0)
"""How much is kept ready: 48 MB, beyond what is needed next."""
TIME_LIMIT_S = 30.0
"""A worker that needs longer for one item is taken for hung. Chosen from experience: the slowest
engine measured speaks at ten times real time, and the voice room has a limit of its own."""
TIMINGS = 1000
"""Items whose timing is remembered."""
PATIENCE_S = 60.0
"""How long a station whose output can wait waits for one item."""
_UNSOLVED = "before it was worked out how rough the sound may be; it is as rough as it was."


def maker(
    programme: Programme, speaker: Announcer, solving: Solving | None = None
) -> Callable[[Content], Outcome]:
    """What turns a content into an item, or into the reason why it cannot be.

    `solving` works out how rough the sound is to be for it; without, all are as the table says.
    """

    def make(content: Content) -> Outcome:
        item = content.item
        voice = programme.voice_of(item) if isinstance(item, SpokenItem) else None
        try:
            phrases = programme.phrases_in(voice.language) if voice else {}
            samples = make_item(item, content.text, voice, programme.folder, speaker, phrases)
        except BroadcasterError as error:
            return Failure(f"cannot be made: {str(error).rstrip('.')}")
        if not len(samples):
            return Failure("has no sound")
        if solving is None or content.readability is None:
            return Made(samples)
        return solving.made(content.item, samples, content.readability)

    return make


class Preparing:
    """An ItemSource that does not block, unless it is patient: the other end of two workers.

    One makes what the operator says, and never waits behind what may come; one all else. The third
    makes items, too, and works out how rough the sound is to be, which may take a second; an item
    whose turn comes before that goes out without.
    """

    def __init__(
        self, programme: Programme, cache_folder: Path | None, tell: Callable[[str], None]
    ) -> None:
        """Forks the workers where the system can: call it before any thread is started.

        `tell` hears, in a sentence, what a worker has to say that is no item's failure.
        """
        self.patient = True
        """Whether fetch() waits for an item. Whoever goes on air cannot."""
        self._programme = programme
        self._cache_folder = cache_folder
        self._tell = tell
        self._told: set[str] = set()
        self._shelf = Shelf(SHELF_FRAMES)
        self._timings: OrderedDict[Content, Timing] = OrderedDict()
        self._wanted: tuple[Content, ...] = ()
        self._urgent: tuple[Content, ...] = ()
        self._prepared = prepared_plainly(programme).content
        """Made first, and never dropped: the plain voice must not depend on a worker's health."""
        self._kept: dict[Content, Made] = {}
        self._news = threading.Condition()
        self._closing = False
        self._hands = tuple(
            _Hand(self, next_missing)
            for next_missing in (self._next_missing, self._next_urgent, self._next_unsolved)
        )

    def __enter__(self) -> Self:
        """Begin to prepare what is expected."""
        for hand in self._hands:
            hand.thread.start()
        return self

    def __exit__(self, *raised: object) -> None:
        """Let the workers go."""
        self._closing = True
        with self._news:
            self._news.notify_all()
        for hand in self._hands:
            hand.worker.stop()

    def expect(self, cues: Sequence[Cue]) -> None:
        """These are needed next, the most urgent first."""
        wanted = [cue for cue in cues if not isinstance(cue.item, Carrier)]
        with self._news:
            self._wanted = tuple(cue.content for cue in wanted)
            self._urgent = tuple(cue.content for cue in wanted if cue.part in OF_THE_OPERATOR)
            self._news.notify_all()

    def fetch(self, cue: Cue) -> Outcome | None:
        """The item if it is ready; whoever is patient waits for it, and for its roughness."""
        content = cue.content
        with self._news:
            if self._ready(content) is None:
                self._want(cue)
                if self.patient:
                    self._news.wait_for(lambda: self._ready(content) is not None, PATIENCE_S)
            made = self._take(content)
            unsolved = content.readability is not None and not isinstance(made, Made)
            if unsolved:
                made = self._take(_dry(content))
        if unsolved and isinstance(made, Made) and content.item.clue:
            self._tell_once(f"The clue {content.item.clue!r} goes out {_UNSOLVED}")
        return made

    def timing(self, cue: Cue) -> Timing:
        """That of an item that was fetched; empty where it is not known."""
        return self._timings.get(_dry(cue.content), Timing())

    def make(self, hand: "_Hand") -> None:
        """What a hand does all its life: make what is missing, the most urgent first."""
        while not self._closing:
            with self._news:
                self._news.wait_for(lambda: self._closing or hand.next_missing() is not None)
                content = hand.next_missing()
            if content is not None:
                made, timing = self._made_by(hand, content)
                self._tell_once(hand.worker.trouble)
                with self._news:
                    self._put(content, made, timing)

    def _ready(self, content: Content) -> Outcome | None:
        kept = self._kept.get(content)
        return self._shelf.get(content) if kept is None else kept

    def _take(self, content: Content) -> Outcome | None:
        made = self._ready(content)
        if isinstance(made, Failure):
            self._shelf.drop(content)  # what failed once may go well the next time
        return made

    def _want(self, cue: Cue) -> None:
        self._wanted = (cue.content, *self._wanted)
        if cue.part in OF_THE_OPERATOR:
            self._urgent = (cue.content, *self._urgent)
        self._news.notify_all()

    def _put(self, content: Content, made: Outcome, timing: Timing) -> None:
        if content == self._prepared and isinstance(made, Made):
            self._kept[content] = made
        else:
            self._shelf.put(content, made)
        self._timings[_dry(content)] = timing
        if len(self._timings) > TIMINGS:
            self._timings.popitem(last=False)
        self._news.notify_all()

    def _next_urgent(self) -> Content | None:
        """What the operator says and is not made."""
        wanted = (*self._urgent, self._prepared)
        return next((content for content in wanted if self._ready(content) is None), None)

    def _next_missing(self) -> Content | None:
        """The most urgent item that is not made; what would not fit on the shelf is left."""
        fits = SHELF_FRAMES
        for content in self._wanted:
            if content in self._urgent or content == self._prepared:
                continue
            made = self._shelf.get(content) or self._shelf.get(_dry(content))
            if made is None:
                return _dry(content)
            fits -= frames_of(made)
            if fits < 0:
                break
        return None

    def _next_unsolved(self) -> Content | None:
        """The most urgent item whose roughness is not worked out; as above."""
        fits = SHELF_FRAMES
        for content in self._wanted:
            made = self._shelf.get(content)
            if made is None and content.readability is not None:
                return content
            fits -= frames_of(made) if made else 0
            if fits < 0:
                break
        return None

    def _tell_once(self, sentence: str) -> None:
        with self._news:
            is_news = bool(sentence) and sentence not in self._told
            self._told.add(sentence)
        if is_news:
            self._tell(sentence)

    def _made_by(self, hand: "_Hand", content: Content) -> tuple[Outcome, Timing]:
        for _ in range(2):
            made = hand.worker.make(content)
            if made is not None:
                return made, hand.worker.timing
            if self._closing:
                return Failure("is not needed any more"), Timing()
            hand.worker.stop()
            hand.worker = self.new_worker(first=False)
        return Failure("brought the speech worker down twice"), Timing()

    def new_worker(self, *, first: bool) -> "Worker":
        """A worker for this programme; `first`: no thread runs yet."""
        return Worker(self._programme, self._cache_folder, first=first)


def _dry(content: Content) -> Content:
    """The item without its wish for a readability."""
    return content._replace(readability=None)


class _Hand:
    """A worker, and the thread that gives it something to do."""

    def __init__(self, preparing: Preparing, next_missing: Callable[[], Content | None]) -> None:
        self.next_missing = next_missing
        self.worker = preparing.new_worker(first=True)
        self.thread = threading.Thread(
            target=preparing.make, args=(self,), name="preparing", daemon=True
        )


class Worker:
    """The worker process, and the pipe to it."""

    def __init__(self, programme: Programme, cache_folder: Path | None, *, first: bool) -> None:
        """`first`: no thread runs yet, so a fork is safe and saves half a second."""
        self.trouble = ""
        """What the worker does without, in a sentence."""
        self.timing = Timing()
        """That of the item made last."""
        can_fork = first and "fork" in multiprocessing.get_all_start_methods()
        context: BaseContext = multiprocessing.get_context("fork" if can_fork else "spawn")
        self._pipe, theirs = context.Pipe()
        self._process: BaseProcess = context.Process(  # type: ignore[attr-defined]
            target=_work,
            args=(theirs, self._pipe if can_fork else None, programme, cache_folder),
            name="speech",
        )
        self._process.start()
        theirs.close()

    def make(self, content: Content) -> Outcome | None:
        """The item; None if the worker died or hangs."""
        with suppress(EOFError, OSError):
            self._pipe.send(content)
            if self._pipe.poll(TIME_LIMIT_S):
                told: Failure | tuple[float | None, float | None]
                told, self.trouble, self.timing = self._pipe.recv()
                if isinstance(told, Failure):
                    return told
                samples = np.frombuffer(self._pipe.recv_bytes(), dtype=np.float32)
                return Made(samples, *told)
        return None

    def stop(self) -> None:
        """End the process."""
        self._pipe.close()
        self._process.kill()
        self._process.join()


def _work(
    pipe: Connection, stations_end: Connection | None, programme: Programme, folder: Path | None
) -> None:
    """The worker's life: make what comes in, until the station closes the pipe or is gone."""
    stay_behind()
    if stations_end:
        stations_end.close()  # a copy that came with the fork: the pipe must end with the station
    cache = SpeechCache(folder) if folder else None
    speaker = Speaker(cache)
    solving = Solving(programme.period, folder) if programme.period else None
    with suppress(EOFError, OSError, KeyboardInterrupt):
        while True:
            finder = WordFinder(speaker)
            content = pipe.recv()
            made = maker(programme, finder, solving)(content)
            trouble = (cache and cache.trouble) or (solving and solving.trouble) or ""
            if isinstance(made, Failure):
                pipe.send((made, trouble, Timing()))
            else:
                marks = marks_of(content.item, content.text)
                timing = Timing(finder.words_in(made.samples), marks)
                pipe.send(((made.roughness, made.readability), trouble, timing))
                pipe.send_bytes(np.ascontiguousarray(made.samples).data)
