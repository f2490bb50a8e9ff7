"""Tune-in times: how long until a clue has been heard, from a moment chosen at random.

A segment that repeats is a loop. A clue is heard when one of its airings has gone out whole, from
its first frame to its last, the pause that ends an item included. Between two airings' beginnings
the wait falls by a frame a frame, so everything here is exact: nothing is sampled.

Frames here are points in continuous time: somebody may tune in between two of them. The worst is
the least upper bound: an airing that has just begun cannot be heard whole any more.
"""

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

PATIENCE = 0.9
"""The share of moments for which the 90th percentile is enough."""


@dataclass(frozen=True, slots=True)
class Span:
    """A stretch of a loop, from its first frame to the one after its last."""

    start_frame: int
    end_frame: int


@dataclass(frozen=True, slots=True)
class Airing:
    """One time that a clue goes out: when, and when each symbol of its message does."""

    span: Span
    message: str = ""
    """Airings with the same message have the same symbols, in the same order."""
    symbols: tuple[Span, ...] = ()
    """Characters that can be copied one at a time; none where it is heard whole or not at all."""

    @property
    def parts(self) -> tuple[Span, ...]:
        """What must have been heard: its symbols, or all of it."""
        return self.symbols or (self.span,)

    def later(self, frames: int) -> "Airing":
        """The same, so many frames later."""
        return Airing(
            _later(self.span, frames), self.message, tuple(_later(s, frames) for s in self.symbols)
        )


@dataclass(frozen=True, slots=True)
class Waits:
    """From tuning in at a moment of a loop, each as likely, until a clue is heard; in frames."""

    worst: float
    mean: float
    p90: float
    """Nine moments of ten need no more."""


def _later(span: Span, frames: int) -> Span:
    return Span(span.start_frame + frames, span.end_frame + frames)


def waits(spans: Sequence[Span], loop_frames: int) -> Waits:
    """The waits for any of these airings, which do not overlap, in a loop of so many frames.

    One airing of length d in a loop of length L: worst L + d, mean L/2 + d, p90 0.9 L + d.
    """
    runs = _runs(spans, loop_frames)
    return Waits(
        worst=max(gap + length for gap, length in runs),
        mean=sum(gap * (gap / 2 + length) for gap, length in runs) / loop_frames,
        p90=_percentile(runs, PATIENCE * loop_frames),
    )


def _runs(spans: Sequence[Span], loop_frames: int) -> list[tuple[int, int]]:
    """For each airing the frames since the one before it began, and its length.

    Who tunes in during those frames waits from the first sum down to the length alone.
    """
    ordered = sorted(spans, key=lambda span: span.start_frame)
    before = [ordered[-1].start_frame - loop_frames, *(span.start_frame for span in ordered)]
    return [
        (span.start_frame - earlier, span.end_frame - span.start_frame)
        for earlier, span in zip(before, ordered, strict=False)
    ]


def _percentile(runs: Sequence[tuple[int, int]], share_frames: float) -> float:
    """The wait that is not exceeded at so many frames' worth of the loop's moments.

    How many moments wait at most w is a sum of ramps, one a run, straight between their ends.
    """
    ends = sorted({end for gap, length in runs for end in (length, length + gap)})
    below_wait, below = float(ends[0]), 0.0
    for wait in ends[1:]:
        reached = float(sum(min(max(wait - length, 0), gap) for gap, length in runs))
        if reached >= share_frames:
            return below_wait + (wait - below_wait) * (share_frames - below) / (reached - below)
        below_wait, below = float(wait), reached
    return below_wait


def worst_before(lead: Iterable[Span], loop: Sequence[Span], lead_frames: int) -> float:
    """The worst wait for whoever tunes in during a lead-in, after which a loop goes on for good.

    `lead`: airings in the lead-in, from its own beginning; `loop`: those of the loop, at least one,
    from the loop's. 0.0 for a lead-in without a frame.
    """
    ahead = sorted([*lead, *(_later(span, lead_frames) for span in loop)], key=_start)
    moments = [0, *(span.start_frame + 1 for span in ahead)]
    worst = 0.0
    for moment, span in zip(moments, ahead, strict=False):
        if moment < lead_frames:
            worst = max(worst, float(span.end_frame - max(0, moment - 1)))
    return worst


def _start(span: Span) -> int:
    return span.start_frame


# --- copied symbol by symbol ----------------------------------------------------------------------


def assembled_worst(airings: Sequence[Airing], loop_frames: int) -> float:
    """The worst wait until every symbol of a message has been heard whole, in whatever order.

    Of several messages the one that is complete first counts. With one airing, and symbols of up to
    s frames: L + s.
    """
    moments = _moments(airings)
    waits_of = [
        np.max([_next_end(part, moments, loop_frames) for part in parts], axis=0) - moments
        for parts in _positions(airings).values()
    ]
    return float(np.max(np.min(waits_of, axis=0)))


def beginner_worst(airings: Sequence[Airing], loop_frames: int, look_up_frames: int) -> float:
    """The same for a beginner, who looks each new symbol up and hears nothing meanwhile.

    What begins before it has been looked up is missed, and what is known already costs no time. The
    last symbol counts as copied once it has been looked up too.
    """
    symbols = {
        message: sorted(
            (span.start_frame, span.end_frame, position)
            for position, spans in enumerate(positions)
            for span in spans
        )
        for message, positions in _positions(airings).items()
    }
    return max(
        min(_copied(sent, moment, loop_frames, look_up_frames) for sent in symbols.values())
        - moment
        for moment in map(int, _moments(airings))
    )


def _copied(
    sent: Sequence[tuple[int, int, int]], moment: int, loop_frames: int, look_up_frames: int
) -> float:
    """When a beginner has copied a message, who tuned in just after a moment."""
    missing, free, turn = {position for _, _, position in sent}, moment + 1, 0
    while True:
        for start, end, position in sent:
            if position in missing and start + turn >= free:
                missing.remove(position)
                free = end + turn + look_up_frames
                if not missing:
                    return float(free)
        turn += loop_frames


def _moments(airings: Sequence[Airing]) -> NDArray[np.int64]:
    """Just after these a wait is longest: the beginnings of all that can be heard."""
    starts = {part.start_frame for airing in airings for part in airing.parts}
    return np.array(sorted(starts), dtype=np.int64)


def _positions(airings: Iterable[Airing]) -> Mapping[str, list[list[Span]]]:
    """For each message, the spans of each of its symbols."""
    positions: dict[str, list[list[Span]]] = {}
    for airing in airings:
        spans = positions.setdefault(airing.message, [[] for _ in airing.parts])
        for place, part in enumerate(airing.parts):
            spans[place].append(part)
    return positions


def _next_end(
    spans: Sequence[Span], moments: NDArray[np.int64], loop_frames: int
) -> NDArray[np.int64]:
    """The end of the first of these spans that begins after each moment."""
    ordered = sorted(spans, key=_start)
    ordered.append(_later(ordered[0], loop_frames))
    starts = np.array([span.start_frame for span in ordered])
    ends = np.array([span.end_frame for span in ordered])
    ended: NDArray[np.int64] = ends[np.searchsorted(starts, moments, side="right")]
    return ended
