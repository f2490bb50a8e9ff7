"""A segment as a loop file: a stand-alone player repeats it, and nobody hears where it joins.

The dry round is one period of an endless stream; the bed and the fading are made periodic too
(Chance's loop), so after the filters have settled the stream repeats itself and any one period of
it runs into its own beginning. What is written is the period that begins with the first item.
"""

from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from pydub import AudioSegment

from broadcaster.air.items import Failure, ItemSource
from broadcaster.air.ring import CHANNELS, FRAME_BYTES, pcm_from_samples
from broadcaster.air.whole_file import WholeFile
from broadcaster.errors import StationError, UsageError
from broadcaster.period.reception import Reception
from broadcaster.script.names import known_names
from broadcaster.script.programme import Programme
from broadcaster.story.cue import Cue
from broadcaster.story.events import StartSession
from broadcaster.story.machine import Story
from broadcaster.transmitter.gain import CELL
from broadcaster.transmitter.transmitter import transmitter_of
from broadcaster.units import RATE, Samples, frames_from_seconds, silence

BLOCK_FRAMES = 65_536
Progress = Callable[[int, int], None]
"""Told how many of how many items are made."""
SETTLING_FRAMES = frames_from_seconds(4.0)
"""The slowest filter and follower in a sound have forgotten their beginning after this."""


def render_loop(
    programme: Programme,
    segment: str,
    path: Path,
    items: ItemSource,
    *,
    seed: int = 0,
    progress: Progress,
) -> int:
    """Write a segment's loop file; its length in frames."""
    cues = round_of(programme, segment)
    samples = looped(dry_round(cues, items, progress), programme, seed)
    write_loop(samples, path)
    return len(samples)


def round_of(programme: Programme, segment: str) -> tuple[Cue, ...]:
    """The cues of one round of a segment, with the facts as a session begins; no exit is taken.

    Raises UsageError for a segment that the programme does not have, or that has nothing to send.
    """
    if segment not in programme.segments:
        raise UsageError(
            f"There is no segment {segment!r}. {known_names(segment, programme.segments)}"
        )
    endless = programme.segments[segment].model_copy(update={"exits": ()})
    alone = {"segments": {segment: endless}, "opening": segment}
    story = Story(programme.model_copy(update=alone))
    state = story.receive(story.stand_by(), StartSession(), 0).state
    cues: list[Cue] = []
    while True:
        turn = story.advance(state, 0)
        state = turn.state
        if turn.cue is None or state.rounds:
            break
        cues.append(turn.cue)
    if not cues:
        raise UsageError(f"The segment {segment!r} sends nothing as a session begins.")
    return tuple(cues)


def dry_round(cues: tuple[Cue, ...], items: ItemSource, progress: Progress) -> Samples:
    """The cues' samples one after another. Raises StationError for one that cannot be made."""
    items.expect(cues)
    parts: list[Samples] = []
    for count, cue in enumerate(cues, start=1):
        made = items.fetch(cue)
        if made is None or isinstance(made, Failure):
            why = made.sentence if made else "took too long to make"
            raise StationError(f"The {cue.item.kind} {cue.text!r} {why}.")
        parts.append(made.samples)
        progress(count, len(cues))
    return np.concatenate(parts)


def looped(dry: Samples, programme: Programme, seed: int) -> Samples:
    """One period of the endless broadcast of a dry round: as long, up to whole limiter CELLs.

    The limiter looks at whole cells. Were the loop no whole number of them, each period would be
    cut into other cells and differ from the last; the carrier fills it up, by 0.65 ms at most.
    """
    if programme.period is None:
        raise ValueError("the programme has no period sound; read it through the script room")
    dry = np.concatenate([dry, silence(-len(dry) % CELL)])
    reception = Reception(programme.period, seed, loop=len(dry))
    transmitter = transmitter_of(programme)
    unsettled = SETTLING_FRAMES + reception.latency + transmitter.latency
    begin = -SETTLING_FRAMES % len(dry)
    parts = []
    for start, stop in _blocks(begin, unsettled + len(dry)):
        block = transmitter.process(reception.process(_periodic(dry, start, stop), start), start)
        parts.append(block[max(0, begin + unsettled - start) :])
    return np.concatenate(parts)


def _blocks(begin: int, frames: int) -> Iterator[tuple[int, int]]:
    for start in range(begin, begin + frames, BLOCK_FRAMES):
        yield start, min(start + BLOCK_FRAMES, begin + frames)


def _periodic(dry: Samples, start: int, stop: int) -> Samples:
    block = silence(stop - start)
    filled = 0
    while filled < len(block):
        place = (start + filled) % len(dry)
        run = min(len(block) - filled, len(dry) - place)
        block[filled : filled + run] = dry[place : place + run]
        filled += run
    return block


def write_loop(samples: Samples, path: Path) -> None:
    """A WAV file that a stand-alone player can loop. Raises StationError if that cannot be."""
    segment = AudioSegment(
        data=pcm_from_samples(samples),
        sample_width=FRAME_BYTES // CHANNELS,
        frame_rate=RATE,
        channels=CHANNELS,
    )
    with WholeFile(path) as file:
        segment.export(file, format="wav")
