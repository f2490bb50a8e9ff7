"""A segment as a loop file: a stand-alone player repeats it, and nobody hears where it joins.

The dry round is one period of an endless stream; the bed and the fading are made periodic too
(Chance's loop), so after the filters have settled the stream repeats itself and any one period of
it runs into its own beginning.
"""

from collections.abc import Callable, Iterator
from dataclasses import replace
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
from broadcaster.story.cue import Carrier, Cue
from broadcaster.story.events import Jump, JumpTiming, StartSession
from broadcaster.story.machine import Story
from broadcaster.transmitter.transmitter import Transmitter
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
    """The cues of one round of a segment, with the facts as a session begins.

    Raises UsageError for a segment that the programme does not have.
    """
    if segment not in programme.segments:
        raise UsageError(
            f"There is no segment {segment!r}. {known_names(segment, programme.segments)}"
        )
    story = Story(programme)
    state = story.receive(story.stand_by(), StartSession(), 0).state
    state = replace(state, jump=Jump(segment, JumpTiming.NOW))
    cues: list[Cue] = []
    while True:
        turn = story.advance(state, 0)
        state = turn.state
        if turn.cue is None or state.segment != segment or state.rounds:
            break
        cues.append(turn.cue)
    if not cues or isinstance(cues[0].item, Carrier):
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
        parts.append(made)
        progress(count, len(cues))
    return np.concatenate(parts)


def looped(dry: Samples, programme: Programme, seed: int) -> Samples:
    """One period of the endless broadcast of a dry round; same length."""
    if programme.period is None:
        raise ValueError("the programme has no period sound; read it through the script room")
    length = len(dry)
    reception = Reception(programme.period, seed, loop=length)
    transmitter = Transmitter()
    latency = reception.latency + transmitter.latency
    settled = -(-(SETTLING_FRAMES + latency) // length) * length
    parts = []
    for start, stop in _blocks(settled + latency + length):
        block = transmitter.process(reception.process(_periodic(dry, start, stop), start), start)
        parts.append(block[max(0, settled + latency - start) :])
    return np.concatenate(parts)


def _blocks(frames: int) -> Iterator[tuple[int, int]]:
    for start in range(0, frames, BLOCK_FRAMES):
        yield start, min(start + BLOCK_FRAMES, frames)


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
