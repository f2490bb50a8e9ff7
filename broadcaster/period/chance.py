"""The only randomness of the stream: addressed by absolute frame, never by the order of calls.

The numbers come from a counter-based generator (Philox4x64-10; Salmon and others, "Parallel random
numbers: as easy as 1, 2, 3", 2011): the seed and the stream's name are the key, the number of the
quantum is the counter.
"""

import hashlib
from collections.abc import Callable, Iterator

import numpy as np
from numpy.typing import NDArray
from scipy.special import ndtri

from broadcaster.units import Samples, silence

QUANTUM = 8192
"""Frames whose randomness is drawn at once."""
_WHITE, _IMPULSES = 0, 1
_KEPT_QUANTA = 4
_NORMAL_BITS = 13
_NORMAL = ndtri((np.arange(2**_NORMAL_BITS) + 0.5) / 2**_NORMAL_BITS)
_NORMAL = (_NORMAL / _NORMAL.std()).astype(np.float32)
"""The normal distribution in equally likely steps, as many as a processor's cache holds: five times
as fast as drawing from it. It ends at 3.8 deviations; its kurtosis is 2.995."""


def stretches(
    frame: int, frames: int, length: int, loop: int | None
) -> Iterator[tuple[int, int, int]]:
    """Cut frames at the borders of quanta of `length` frames and at the loop's wrap.

    Gives (quantum, start, stop) with start and stop counted from the quantum's first frame. With
    a loop, frame f is taken as f modulo loop, and the last quantum may be a short one.
    """
    while frames > 0:
        number, start = divmod(frame if loop is None else frame % loop, length)
        whole = length if loop is None else min(length, loop - number * length)
        stop = min(whole, start + frames)
        yield number, start, stop
        frame += stop - start
        frames -= stop - start


class Quanta:
    """A sound that is made in quanta, each by its number; the last one made is kept."""

    def __init__(self, make: Callable[[int], Samples], length: int, loop: int | None) -> None:
        """`make`: gives the samples of a quantum, shape (length,), a fresh array each time."""
        self._make = make
        self._length = length
        self._loop = loop
        self._number = -1
        self._kept = silence(0)

    def read(self, frame: int, frames: int) -> Samples:
        """Any stretch, shape (frames,), read only."""
        if self._loop is None:
            start = frame - self._number * self._length
            if start >= 0 and start + frames <= len(self._kept):
                return self._kept[start : start + frames]
        parts = [
            self._quantum(number)[start:stop]
            for number, start, stop in stretches(frame, frames, self._length, self._loop)
        ]
        return parts[0] if len(parts) == 1 else np.concatenate([silence(0), *parts])

    def _quantum(self, number: int) -> Samples:
        if number != self._number:
            self._kept = self._make(number)
            self._kept.setflags(write=False)
            self._number = number
        return self._kept


class Chance:
    """One stream of chance. Streams of other names or seeds are independent of it."""

    def __init__(self, seed: int, stream: str, loop: int | None = None) -> None:
        """`loop`: after so many frames everything comes again; None: never."""
        self.loop = loop
        self._seed = seed
        self._stream = stream
        key = hashlib.blake2b(f"{seed} {stream}".encode(), digest_size=16).digest()
        self._bits = np.random.Philox(key=int.from_bytes(key, "little"))
        self._generator = np.random.Generator(self._bits)
        self._fresh = self._bits.state
        self._white = Quanta(self._white_quantum, QUANTUM, loop)
        self._drawn: dict[int, tuple[NDArray[np.int64], NDArray[np.float64]]] = {}
        """The impulses of the quanta that were asked for last."""

    def looped(self, loop: int | None) -> "Chance":
        """The same chance, coming again after another number of frames."""
        return Chance(self._seed, self._stream, loop)

    def part(self, name: str) -> "Chance":
        """Another chance, independent of this one and of its other parts."""
        return Chance(self._seed, f"{self._stream} {name}", self.loop)

    def white(self, frame: int, frames: int) -> Samples:
        """White Gaussian noise of variance 1, shape (frames,), read only; frame from 0 on."""
        return self._white.read(frame, frames)

    def impulses(
        self, frame: int, frames: int, interval_frames: float
    ) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
        """Moments of a Poisson process, and two Gaussian numbers of variance 1 for each.

        The moments, shape (count,), are counted from `frame`, in rising order; the numbers have
        shape (count, 2). `interval_frames`: the mean from one moment to the next; ask one stream
        for one interval only.
        """
        moments: list[NDArray[np.int64]] = [np.empty(0, np.int64)]
        marks: list[NDArray[np.float64]] = [np.empty((0, 2))]
        passed = 0
        for number, start, stop in stretches(frame, frames, QUANTUM, self.loop):
            places, numbers = self._impulses_of(number, interval_frames)
            inside = (places >= start) & (places < stop)
            moments.append(places[inside] - start + passed)
            marks.append(numbers[inside])
            passed += stop - start
        return np.concatenate(moments), np.concatenate(marks)

    def _impulses_of(
        self, number: int, interval_frames: float
    ) -> tuple[NDArray[np.int64], NDArray[np.float64]]:
        """The places of all impulses of a quantum, rising, and their numbers."""
        known = self._drawn.get(number)
        if known is None:
            generator = self._at(number, _IMPULSES)
            count = generator.poisson(QUANTUM / interval_frames)
            places = np.sort(generator.integers(0, QUANTUM, count))
            known = places, generator.standard_normal((count, 2))
            self._drawn[number] = known
            if len(self._drawn) > _KEPT_QUANTA:
                del self._drawn[next(iter(self._drawn))]
        return known

    def _white_quantum(self, number: int) -> Samples:
        words = self._at(number, _WHITE).bit_generator.random_raw(QUANTUM // 4)
        places = words.view(np.uint16) >> np.uint16(16 - _NORMAL_BITS)
        white: Samples = _NORMAL.take(places, mode="clip")  # spares a check that cannot fail
        return white

    def _at(self, quantum: int, purpose: int) -> np.random.Generator:
        """The generator, at the beginning of a quantum's own part of the counter."""
        self._fresh["state"]["counter"][:] = (0, quantum, purpose, 0)
        self._bits.state = self._fresh
        return self._generator
