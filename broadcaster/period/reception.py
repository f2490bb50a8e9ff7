"""Reception: the dry programme in, the broadcast as its listener would have it out."""

from functools import cache
from typing import assert_never

import numpy as np

from broadcaster.period.antenna import Antenna, Levels
from broadcaster.period.bands import BandLimit
from broadcaster.period.beds import Crackle, Hiss, Hum
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import AS_WRITTEN, STRONGEST, Conditions
from broadcaster.period.ether_processors import ether_processor
from broadcaster.period.fading import Fading
from broadcaster.period.floor import with_floor
from broadcaster.period.pieces import PIECE_FRAMES, in_pieces
from broadcaster.period.processor import Processor
from broadcaster.period.rates import Entrance, Exit, factor_for, highest_hz
from broadcaster.period.saturation import Saturation
from broadcaster.period.set_processors import set_processor
from broadcaster.period.transitions import Passage, passage_of
from broadcaster.script import sounds
from broadcaster.script.reception import Transition
from broadcaster.script.sounds_ether import EtherRow
from broadcaster.script.sounds_set import SetRow
from broadcaster.units import RATE, Samples, frames_from_seconds, gain_from_db, silence
from broadcaster.voice.finish import SPEECH_DBFS

GLIDE_FRAMES = frames_from_seconds(0.3)
"""In which a dial gets to where it is turned. Chosen by ear."""
_SPEECH_BAND_HZ = (200.0, 1500.0)
"""What stands in for the spectrum of speech: chosen by ear."""
_MEASURED_S = 2.0


def processor_from(
    row: sounds.AnyProcessor, chance: Chance, rate: int, conditions: Conditions
) -> Processor:
    """The processor that a row of a sound's table asks for, for a stream of `rate` Hz.

    `chance` (with its loop) and `conditions` count in that stream's frames.
    """
    match row:
        case sounds.Band():
            return BandLimit(*row.band, row.slope, rate)
        case sounds.Saturation():
            return Saturation(row.saturation, conditions)
        case sounds.Fading():
            return Fading(row.fading, row.rate, rate, chance, conditions)
        case sounds.Hiss():
            return Hiss(row.hiss, row.band, row.slope, row.tilt_db, rate, chance, conditions)
        case sounds.Crackle():
            return Crackle(row.crackle, row.every, row.band, rate, chance, conditions)
        case sounds.Hum():
            return Hum(row.hum, row.mains, row.harmonics, rate, chance.loop)
        case EtherRow():
            return ether_processor(row, chance, rate, conditions)
        case SetRow():
            return set_processor(row, chance, rate, conditions)
        case _:
            assert_never(row)


ON_THE_WAY = (sounds.Fading, sounds.Hiss, sounds.Crackle, EtherRow)
"""Rows of what happens between two antennas. The receiving one stands before the first of them."""


def way_of(rows: tuple[sounds.AnyProcessor, ...]) -> tuple[int, int]:
    """The places in the table where the way begins and where it ends; none: both are its end."""
    begin = next(
        (place for place, row in enumerate(rows) if isinstance(row, ON_THE_WAY)), len(rows)
    )
    end = begin
    while end < len(rows) and isinstance(rows[end], ON_THE_WAY):
        end += 1
    return begin, end


@cache
def nominal_levels(rows: tuple[sounds.AnyProcessor, ...], rate: int) -> Levels:
    """How loud speech and beds are at the antenna of a sound that is as its table says.

    Measured over some seconds from its processors, speech standing in as noise of its level. What
    is heard of it and of its opposite differs by the speech alone; the rest is the beds, as they
    are while someone speaks.
    """
    chance = Chance(0, "levels")
    begin, end = way_of(rows)
    frames = frames_from_seconds(_MEASURED_S, rate)
    band = BandLimit(*_SPEECH_BAND_HZ, 6.0, rate)
    programme = band.process(chance.white(0, frames), 0)
    programme *= np.float32(gain_from_db(SPEECH_DBFS) / band.noise_rms)
    for processor in processors_from(rows, chance, rate, Conditions())[:begin]:
        programme = processor.process(programme, 0)
    beds = silence(frames)
    for way_up in (np.float32(1.0), np.float32(-1.0)):
        heard = way_up * programme
        for processor in processors_from(rows, chance, rate, Conditions())[begin:end]:
            heard = processor.process(heard, 0)
        beds += heard
    settled = frames // 4
    return Levels(float(np.std(programme[settled:])), float(np.std(beds[settled:])) / 2.0)


def processors_from(
    rows: tuple[sounds.AnyProcessor, ...], chance: Chance, rate: int, conditions: Conditions
) -> list[Processor]:
    """The processors of a sound's table, each with a chance of its own."""
    return [
        processor_from(row, chance.part(f"{place} {row.kind}"), rate, conditions)
        for place, row in enumerate(rows)
    ]


class Reception:
    """One sound at work: one continuous stream, whatever items it carries.

    Same sound, same seed, same programme, dials and transitions at the same frames: same samples,
    however the stream is cut into blocks. Inside, it runs at the lowest rate that holds the sound.
    """

    def __init__(
        self,
        sound: sounds.Sound,
        seed: int,
        loop: int | None = None,
        *,
        roughness: float = AS_WRITTEN,
        strength: float = STRONGEST,
    ) -> None:
        """`loop`: after so many frames all chance comes again, so that a loop file has no seam.

        `roughness` 0 to 2 and `strength` 0 to 5: where the dials stand as the stream begins.
        """
        factor = factor_for(sound.processors, loop)
        chance = Chance(seed, "sound", None if loop is None else loop // factor)
        top_hz = highest_hz(sound.processors)
        self._entrance, self._exit = Entrance(factor, top_hz), Exit(factor, top_hz)
        self._longest_piece = factor * PIECE_FRAMES
        rows, rate = sound.processors, RATE // factor
        levels = nominal_levels(rows, rate)
        self._conditions = Conditions(
            roughness, strength, bed_to_programme=(levels.beds_rms / levels.programme_rms) ** 2
        )
        self._processors = processors_from(rows, chance, rate, self._conditions)
        antenna = Antenna(levels.programme_rms, _heard_hz(rows), rate, chance, self._conditions)
        self._processors.insert(way_of(rows)[0], antenna)
        self._transitions = Chance(seed, "transitions", loop)
        self._passages: list[Passage] = []
        self._next_frame = 0
        inner_latency = sum(processor.latency for processor in self._processors)
        self.latency = self._entrance.latency + factor * inner_latency + self._exit.latency
        """Frames by which the broadcast is later than the programme."""

    def process(self, block: Samples, frame: int) -> Samples:
        """The next frames of the broadcast: shape (frames,) in, the same shape out, a fresh array.

        `frame` is the absolute number of the block's first frame; blocks follow each other.
        """
        self._next_frame = frame + len(block)
        if not len(block):
            return block.copy()
        self._passages = [passage for passage in self._passages if passage.stop > frame]
        return in_pieces(self._piece, block, frame, self._longest_piece)

    def _piece(self, block: Samples, frame: int) -> Samples:
        stream = with_floor(block, frame)
        for passage in self._passages:
            passage.lay_over(stream, frame)
        stream = self._entrance.process(stream, frame)
        if len(stream):
            inner_frame = self._entrance.inner_frame(frame)
            self._conditions.forget_before(inner_frame)
            for processor in self._processors:
                stream = processor.process(stream, inner_frame)
        return self._exit.process(stream, frame, len(block))

    def set(
        self,
        frame: int,
        *,
        roughness: float | None = None,
        strength: float | None = None,
        glide_frames: int = GLIDE_FRAMES,
    ) -> None:
        """Turn a dial, or both: what is sent from `frame` on glides there in `glide_frames`.

        Values beyond the dials' ends are held there. Raises ValueError for a frame that has
        already gone through.
        """
        self._check(frame)
        self._conditions.turn(
            self._entrance.inner_frame(frame + self._entrance.latency),
            self._entrance.inner_frame(glide_frames),
            roughness=roughness,
            strength=strength,
        )

    def give_way(self, kind: Transition, frame: int) -> None:
        """Lay a transition over the programme, from `frame` on.

        It lies at the entrance: the period's band, fading and bend colour it as they do the
        programme. Raises ValueError for a frame that has already gone through.
        """
        self._check(frame)
        self._passages.append(passage_of(kind, frame, self._transitions))

    def _check(self, frame: int) -> None:
        if frame < self._next_frame:
            raise ValueError(f"frame {frame} has gone through; the next one is {self._next_frame}")


def _heard_hz(rows: tuple[sounds.AnyProcessor, ...]) -> tuple[float, float]:
    """The last band of a sound, which is its receiver's, or what most would have."""
    bands = [row.band for row in rows if isinstance(row, sounds.Band)]
    return bands[-1] if bands else (100.0, 5000.0)
