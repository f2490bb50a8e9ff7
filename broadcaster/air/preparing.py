"""Items made ahead of their turn, by a worker process, so that the playout thread never waits.

The worker speaks, keys, plays and decodes, and works out how rough the sound is to be; the station
keeps what came back on a shelf. A worker that dies or hangs is replaced; an item that brings it
down twice is given up.
"""

import multiprocessing
import threading
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
from broadcaster.errors import BroadcasterError
from broadcaster.script.programme import Programme, SpokenItem
from broadcaster.sound.make import make_item
from broadcaster.story.cue import Carrier, Content, Cue
from broadcaster.units import frames_from_seconds
from broadcaster.voice.cache import SpeechCache
from broadcaster.voice.speaker import Speaker

SHELF_FRAMES = frames_from_seconds(250.0)
"""How much is kept ready: 48 MB, beyond what is needed next."""
TIME_LIMIT_S = 30.0
"""A worker that needs longer for one item is taken for hung. Chosen from experience: the slowest
engine measured speaks at ten times real time, and the voice room has a limit of its own."""
PATIENCE_S = 60.0
"""How long a station whose output can wait waits for one item."""


def maker(
    programme: Programme, speaker: Speaker, solving: Solving | None = None
) -> Callable[[Content], Outcome]:
    """What turns a content into an item, or into the reason why it cannot be.

    `solving` works out how rough the sound is to be for it; without, all are as the table says.
    """

    def make(content: Content) -> Outcome:
        item = content.item
        voice = programme.voice_of(item) if isinstance(item, SpokenItem) else None
        try:
            samples = make_item(
                item, content.text, voice, programme.folder, speaker, programme.phrases
            )
        except BroadcasterError as error:
            return Failure(f"cannot be made: {str(error).rstrip('.')}")
        if not len(samples):
            return Failure("has no sound")
        return solving.made(content, samples) if solving else Made(samples)

    return make


class Preparing:
    """An ItemSource that does not block, unless it is patient: the worker's other end."""

    def __init__(
        self, programme: Programme, cache_folder: Path | None, tell: Callable[[str], None]
    ) -> None:
        """Forks the worker where the system can: call it before any thread is started.

        `tell` hears, in a sentence, what the worker has to say that is no item's failure.
        """
        self.patient = True
        """Whether fetch() waits for an item. Whoever goes on air cannot."""
        self._programme = programme
        self._cache_folder = cache_folder
        self._tell = tell
        self._told = ""
        self._shelf = Shelf(SHELF_FRAMES)
        self._wanted: tuple[Content, ...] = ()
        self._news = threading.Condition()
        self._closing = False
        self._worker = Worker(programme, cache_folder, first=True)
        self._thread = threading.Thread(target=self._run, name="preparing", daemon=True)

    def __enter__(self) -> Self:
        """Begin to prepare what is expected."""
        self._thread.start()
        return self

    def __exit__(self, *raised: object) -> None:
        """Let the worker go."""
        self._closing = True
        with self._news:
            self._news.notify_all()
        self._worker.stop()

    def expect(self, cues: Sequence[Cue]) -> None:
        """These are needed next, the most urgent first."""
        with self._news:
            self._wanted = tuple(cue.content for cue in cues if not isinstance(cue.item, Carrier))
            self._news.notify_all()

    def fetch(self, cue: Cue) -> Outcome | None:
        """The item if it is ready; whoever is patient waits for it."""
        with self._news:
            made = self._shelf.get(cue.content)
            if made is None:
                self._wanted = (cue.content, *self._wanted)
                self._news.notify_all()
                if self.patient:
                    self._news.wait_for(lambda: cue.content in self._shelf, PATIENCE_S)
                    made = self._shelf.get(cue.content)
            if isinstance(made, Failure):
                self._shelf.drop(cue.content)  # what failed once may go well the next time
        return made

    def _next_missing(self) -> Content | None:
        """The most urgent item that is not made; what would not fit on the shelf is left."""
        fits = SHELF_FRAMES
        for content in self._wanted:
            made = self._shelf.get(content)
            if made is None:
                return content
            fits -= frames_of(made)
            if fits < 0:
                break
        return None

    def _run(self) -> None:
        while not self._closing:
            with self._news:
                self._news.wait_for(lambda: self._closing or self._next_missing() is not None)
                content = self._next_missing()
            if content is not None:
                made = self._made_by_worker(content)
                if self._worker.trouble != self._told:
                    self._told = self._worker.trouble
                    self._tell(self._told)
                with self._news:
                    self._shelf.put(content, made)
                    self._news.notify_all()

    def _made_by_worker(self, content: Content) -> Outcome:
        for _ in range(2):
            made = self._worker.make(content)
            if made is not None:
                return made
            if self._closing:
                return Failure("is not needed any more")
            self._worker.stop()
            self._worker = Worker(self._programme, self._cache_folder, first=False)
        return Failure("brought the speech worker down twice")


class Worker:
    """The worker process, and the pipe to it."""

    def __init__(self, programme: Programme, cache_folder: Path | None, *, first: bool) -> None:
        """`first`: no thread runs yet, so a fork is safe and saves half a second."""
        self.trouble = ""
        """What the worker does without, in a sentence."""
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
                told, self.trouble = self._pipe.recv()
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
    solving = Solving(programme.period, folder) if programme.period else None
    make = maker(programme, Speaker(cache), solving)
    with suppress(EOFError, OSError, KeyboardInterrupt):
        while True:
            made = make(pipe.recv())
            trouble = (cache and cache.trouble) or (solving and solving.trouble) or ""
            if isinstance(made, Failure):
                pipe.send((made, trouble))
            else:
                pipe.send(((made.roughness, made.readability), trouble))
                pipe.send_bytes(np.ascontiguousarray(made.samples).data)
