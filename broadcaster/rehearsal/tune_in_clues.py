"""Every clue of every repeating segment, with how long whoever tunes in waits for it.

A clue may go out several times in a loop, and by several items: what counts is the first that is
complete. Its length is its item's, with the pause (or, in Morse code, the word gap) that ends it.
Where a segment has variants, each time is that of the variant in which it is longest, among those
in which the clue goes out at all. The worst counts who tunes in before the loop, too; the mean and
the 90th percentile are the loop's own.
"""

from collections.abc import Callable, Iterator, Sequence
from dataclasses import dataclass
from functools import partial

from broadcaster.air.items import Failure, Outcome
from broadcaster.rehearsal.never_sent import can_go_out
from broadcaster.rehearsal.opening import opening_text
from broadcaster.rehearsal.tune_in import (
    Airing,
    Span,
    assembled_worst,
    beginner_worst,
    waits,
    worst_before,
)
from broadcaster.rehearsal.tune_in_loop import Loop, loops_of
from broadcaster.script.programme import Groups, Item, Morse, Programme, Say, Spell, copy_of
from broadcaster.script.template import Template
from broadcaster.sound.keying import keying
from broadcaster.story.cue import Cue
from broadcaster.units import frames_from_seconds, seconds_from_frames
from broadcaster.voice.reading import figure_spans

LOOK_UP_S = 4.0
"""How long a beginner takes to find one Morse symbol in a table. Chosen; no source."""
_MOST_LOOKED_UP = 200
"""A message with more symbols than this is not for beginners."""

NEVER_SENT = "It can never go out."
NOT_REPEATED = "It goes out at first only: who tunes in later never hears it."

Fetch = Callable[[Cue], Outcome | None]
"""An ItemSource's fetch(): a cue's item, of which only the length matters here."""


@dataclass(frozen=True, slots=True)
class Times:
    """The waits for a clue, in seconds."""

    length_s: float | None
    """Its longest airing's."""
    worst_s: float | None
    mean_s: float | None
    p90_s: float | None
    assembled_worst_s: float | None
    """Until each symbol has been heard once; None but for Morse code and what is read singly."""
    beginner_worst_s: float | None
    """The same, for Morse code alone, if each symbol is looked up for LOOK_UP_S."""


NO_TIMES = Times(None, None, None, None, None, None)


@dataclass(frozen=True, slots=True)
class ClueTimes:
    """A clue in a segment that repeats."""

    segment: str
    clue: str
    times: Times
    variants: int
    """In how many of the segment's variants it goes out again and again."""
    all_variants: bool
    """Whether all variants were looked at."""
    trouble: str = ""
    """Why there are no times, in a sentence."""
    unmade: Item | None = None
    """The item that cannot be made, if that is why."""


def clue_times(programme: Programme, fetch: Fetch) -> Iterator[ClueTimes]:
    """The times of every clue, segment by segment in the script's order."""
    for name, segment in programme.segments.items():
        clues = dict.fromkeys(item.clue for item in segment.play if item.clue)
        if not segment.repeat or not clues:
            continue
        try:
            loops, whole = loops_of(programme, name, partial(_length_of, programme, fetch))
            yield from [_times(programme, name, clue, loops, whole, fetch) for clue in clues]
        except _CannotMakeError as error:
            for clue in clues:
                yield ClueTimes(
                    name,
                    clue,
                    NO_TIMES,
                    variants=0,
                    all_variants=True,
                    trouble=str(error),
                    unmade=error.item,
                )


def _length_of(programme: Programme, fetch: Fetch, item: Item) -> int:
    return _frames(fetch, Cue("", item, opening_text(programme, item)))


class _CannotMakeError(Exception):
    """An item's sound cannot be made; why, in a sentence."""

    def __init__(self, item: Item, sentence: str) -> None:
        self.item = item
        super().__init__(sentence)


def _frames(fetch: Fetch, cue: Cue) -> int:
    made = fetch(cue)
    if made is None or isinstance(made, Failure):
        why = made.sentence if made else "took too long to make"
        raise _CannotMakeError(cue.item, f"The {cue.item.kind} {cue.text!r} {why}.")
    return len(made.samples)


def _times(
    programme: Programme, segment: str, clue: str, loops: Sequence[Loop], whole: bool, fetch: Fetch
) -> ClueTimes:
    told = [_told_of(programme, loop, clue, fetch) for loop in loops]
    heard = [times for times in told if times]
    if not heard:
        own = [item for item in programme.segments[segment].play if item.clue == clue]
        ever = any(can_go_out(programme, segment, item) for item in own)
        return ClueTimes(segment, clue, NO_TIMES, 0, whole, NOT_REPEATED if ever else NEVER_SENT)
    longest = Times(*(_longest(column) for column in zip(*heard, strict=True)))
    return ClueTimes(segment, clue, longest, len(heard), whole)


def _longest(column: Sequence[float | None]) -> float | None:
    frames = max((each for each in column if each is not None), default=None)
    return None if frames is None else round(seconds_from_frames(1) * frames, 6)


def _told_of(
    programme: Programme, loop: Loop, clue: str, fetch: Fetch
) -> tuple[float | None, ...] | None:
    """In frames: length, worst, mean, 90th percentile, assembled, a beginner's; None: not there."""
    airings, frames = _airings(programme, loop.cues, clue, fetch)
    if not airings:
        return None
    spans = [airing.span for airing in airings]
    lead, lead_frames = _airings(programme, loop.lead, clue, fetch)
    told = waits(spans, frames)
    return (
        max(span.end_frame - span.start_frame for span in spans),
        max(told.worst, worst_before([airing.span for airing in lead], spans, lead_frames)),
        told.mean,
        told.p90,
        assembled_worst(airings, frames) if any(airing.symbols for airing in airings) else None,
        _beginners(loop.cues, clue, airings, frames),
    )


def _beginners(
    cues: Sequence[Cue], clue: str, airings: Sequence[Airing], frames: int
) -> float | None:
    sent = [cue for cue in cues if cue.item.clue == clue]
    keyed = [a for a, cue in zip(airings, sent, strict=True) if isinstance(cue.item, Morse)]
    if not keyed or any(len(airing.symbols) > _MOST_LOOKED_UP for airing in keyed):
        return None
    return beginner_worst(keyed, frames, frames_from_seconds(LOOK_UP_S))


def _airings(
    programme: Programme, cues: Sequence[Cue], clue: str, fetch: Fetch
) -> tuple[list[Airing], int]:
    """Where the clue goes out among some cues, and how long they are in all."""
    at, airings = 0, []
    for cue in cues:
        frames = _frames(fetch, cue)
        if cue.item.clue == clue:
            symbols = tuple(Span(*span) for span in _symbols(programme, cue, fetch))
            whole = Airing(Span(0, frames), f"{cue.item.kind} {cue.text}", symbols)
            airings.append(whole.later(at))
        at += frames
    return airings, at


def _symbols(programme: Programme, cue: Cue, fetch: Fetch) -> Sequence[tuple[int, int]]:
    """The frames of each character that can be copied by itself."""
    item = cue.item
    match item:
        case Morse():
            marks = keying(cue.text, item.speed, item.spacing).symbols
            return [(mark.start_frame, mark.end_frame) for mark in marks]
        case Groups() | Spell():
            profile = programme.voice_of(item)
            pause = frames_from_seconds(profile.pause)
            readings = (item.readings or profile.readings) if isinstance(item, Groups) else "once"
            wording = profile.say_again if readings != "once" else None
            return figure_spans(
                cue.text,
                profile,
                gap=item.gap,
                group_gap=item.group_gap if isinstance(item, Groups) else None,
                readings=readings,
                frames_of=lambda figure: _frames(fetch, _alone(item, figure)) - pause,
                say_again_frames=_frames(fetch, _wording(item, wording)) - pause if wording else 0,
            )
        case _:
            return ()


def _wording(item: Groups | Spell, words: str) -> Cue:
    """What an item's voice says between two readings, said by itself."""
    alone = Say(
        say=Template(words, (words,)), voice=item.voice, language=item.language, rate=item.rate
    )
    return Cue("", alone, words)


def _alone(item: Groups | Spell, figure: str) -> Cue:
    """One character of an item, said by itself."""
    copy = copy_of(item)
    text = Template(figure, (figure,)) if isinstance(copy, Template) else figure
    once = {"readings": "once"} if isinstance(item, Groups) else {}
    alone = item.model_copy(update={item.kind: text, **once})
    return Cue("", alone, figure)
