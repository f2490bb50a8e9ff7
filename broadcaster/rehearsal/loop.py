"""A segment as a loop file: a stand-alone player repeats it, and nobody hears where it joins.

The dry round is one period of an endless stream; the bed and the fading are made periodic too
(Chance's loop), so after the filters have settled the stream repeats itself and any one period of
it runs into its own beginning. What is written is the period that begins with the first item.
"""

import math
from collections.abc import Callable, Iterator
from pathlib import Path

import numpy as np
from pydub import AudioSegment

from broadcaster.air.items import Failure, ItemSource, Made
from broadcaster.air.ring import CHANNELS, FRAME_BYTES, pcm_from_samples
from broadcaster.air.roughness import Roughness
from broadcaster.air.whole_file import WholeFile
from broadcaster.errors import StationError, UsageError
from broadcaster.period.conditions import AS_WRITTEN, STRONGEST
from broadcaster.period.rates import LOOP_STEP
from broadcaster.period.reception import Reception
from broadcaster.script.names import known_names
from broadcaster.script.programme import Programme
from broadcaster.story.cue import Cue
from broadcaster.story.events import StartSession
from broadcaster.story.machine import Story
from broadcaster.story.state import State
from broadcaster.transmitter.gain import CELL
from broadcaster.transmitter.transmitter import transmitter_of
from broadcaster.units import RATE, Samples, frames_from_seconds, silence

BLOCK_FRAMES = 65_536
Progress = Callable[[int, int], None]
"""Told how many of how many items are made."""
Turns = tuple[tuple[int, float], ...]
"""Frames, and the roughness from each of them on."""
STEP = math.lcm(CELL, LOOP_STEP)
"""A loop is a whole number of so many frames."""
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
    made = made_round(cues, items, progress)
    strength = strength_in(programme, segment)
    samples = looped(dry_round(made), programme, seed, turns_of(cues, made), strength)
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
    story, state = _begun(programme, segment)
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


def strength_in(programme: Programme, segment: str) -> float:
    """How strong the signal is as the segment begins a session."""
    story, state = _begun(programme, segment)
    return story.advance(state, 0).state.strength


def _begun(programme: Programme, segment: str) -> tuple[Story, State]:
    """A story of that segment alone, which no exit leaves, as its session begins."""
    endless = programme.segments[segment].model_copy(update={"exits": ()})
    alone = {"segments": {segment: endless}, "opening": segment}
    story = Story(programme.model_copy(update=alone))
    return story, story.receive(story.stand_by(), StartSession(), 0).state


def made_round(cues: tuple[Cue, ...], items: ItemSource, progress: Progress) -> tuple[Made, ...]:
    """The cues' items. Raises StationError for one that cannot be made."""
    items.expect(cues)
    all_made: list[Made] = []
    for count, cue in enumerate(cues, start=1):
        made = items.fetch(cue)
        if made is None or isinstance(made, Failure):
            why = made.sentence if made else "took too long to make"
            raise StationError(f"The {cue.item.kind} {cue.text!r} {why}.")
        all_made.append(made)
        progress(count, len(cues))
    return tuple(all_made)


def dry_round(made: tuple[Made, ...]) -> Samples:
    """The samples of a round, one item after another."""
    return np.concatenate([each.samples for each in made])


def turns_of(cues: tuple[Cue, ...], made: tuple[Made, ...]) -> Turns:
    """Where in an endless round the roughness turns, as it does on air from the second round on."""
    roughness = Roughness()
    turns: list[tuple[int, float]] = []
    for _ in range(2):
        frame, turns = 0, []
        for cue, each in zip(cues, made, strict=True):
            wanted = roughness.of(cue, each)
            if wanted is not None and (not turns or wanted != turns[-1][1]):
                turns.append((frame, wanted))
            frame += len(each.samples)
    return tuple(turns)


def looped(
    dry: Samples,
    programme: Programme,
    seed: int,
    turns: Turns = (),
    strength: float = STRONGEST,
) -> Samples:
    """One period of the endless broadcast of a dry round: as long, up to whole STEPs.

    `turns`: the roughness, and the frame of the round from which on it holds.

    Limiters and followers look at whole cells. Were the loop no whole number of them, each period
    would be cut into other cells and differ from the last; the carrier fills up to 8 ms.
    """
    if programme.period is None:
        raise ValueError("the programme has no period sound; read it through the script room")
    dry = np.concatenate([dry, silence(-len(dry) % STEP)])
    begin = -SETTLING_FRAMES % len(dry)
    roughness = _in_force(turns, begin)
    reception = Reception(
        programme.period, seed, loop=len(dry), roughness=roughness, strength=strength
    )
    transmitter = transmitter_of(programme)
    unsettled = SETTLING_FRAMES + reception.latency + transmitter.latency
    parts = []
    for start, stop in _blocks(begin, unsettled + len(dry)):
        for frame, turned in _periodic_turns(turns, len(dry), start, stop):
            reception.set(frame, roughness=turned)
        block = transmitter.process(reception.process(_periodic(dry, start, stop), start), start)
        parts.append(block[max(0, begin + unsettled - start) :])
    return np.concatenate(parts)


def _blocks(begin: int, frames: int) -> Iterator[tuple[int, int]]:
    for start in range(begin, begin + frames, BLOCK_FRAMES):
        yield start, min(start + BLOCK_FRAMES, begin + frames)


def _in_force(turns: Turns, frame: int) -> float:
    """The roughness at a frame of the round, which may be that of the round before."""
    before = [roughness for begins, roughness in turns if begins <= frame]
    return (before or [roughness for _, roughness in turns] or [AS_WRITTEN])[-1]


def _periodic_turns(
    turns: Turns, length: int, start: int, stop: int
) -> Iterator[tuple[int, float]]:
    """Those turns of an endless round that fall into some of its frames."""
    for first in range(start - start % length, stop, length):
        for frame, roughness in turns:
            if start <= first + frame < stop:
                yield first + frame, roughness


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
