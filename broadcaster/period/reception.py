"""Reception: the dry programme in, the broadcast as its listener would have it out."""

from typing import assert_never

from broadcaster.period.bands import BandLimit
from broadcaster.period.beds import Crackle, Hiss, Hum
from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.disturbance import Burst
from broadcaster.period.ether_processors import ether_processor
from broadcaster.period.fading import Fading
from broadcaster.period.floor import with_floor
from broadcaster.period.processor import Processor
from broadcaster.period.saturation import Saturation
from broadcaster.period.set_processors import set_processor
from broadcaster.script import sounds
from broadcaster.script.sounds_ether import EtherRow
from broadcaster.script.sounds_set import SetRow
from broadcaster.units import RATE, Samples


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
            return Hiss(row.hiss, row.band, row.slope, rate, chance, conditions)
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


class Reception:
    """One sound at work: one continuous stream, whatever items it carries.

    Same sound, same seed, same programme, same disturbances: same samples, however the stream is
    cut into blocks.
    """

    def __init__(self, sound: sounds.Sound, seed: int, loop: int | None = None) -> None:
        """`loop`: after so many frames all chance comes again, so that a loop file has no seam."""
        self._conditions = Conditions()
        self._processors = [
            processor_from(row, Chance(seed, f"{place} {row.kind}", loop), RATE, self._conditions)
            for place, row in enumerate(sound.processors)
        ]
        self._static = Chance(seed, "disturbance", loop)
        self._bursts: list[Burst] = []
        self._next_frame = 0
        self.latency = sum(processor.latency for processor in self._processors)
        """Frames by which the broadcast is later than the programme."""

    def process(self, block: Samples, frame: int) -> Samples:
        """The next frames of the broadcast: shape (frames,) in, the same shape out, a fresh array.

        `frame` is the absolute number of the block's first frame; blocks follow each other.
        """
        self._next_frame = frame + len(block)
        if not len(block):
            return block.copy()
        stream = with_floor(block, frame)
        for burst in self._bursts:
            burst.add_to(stream, frame)
        self._bursts = [burst for burst in self._bursts if burst.stop > self._next_frame]
        for processor in self._processors:
            stream = processor.process(stream, frame)
        return stream

    def disturb(self, frame: int, frames: int) -> None:
        """Let static burst over the programme for so many frames, from `frame` on.

        It lies at the entrance: the period's band, fading and bend colour it as they do the
        programme. Raises ValueError for a frame that has already gone through, and for no frames.
        """
        if frames < 1:
            raise ValueError(f"static of {frames} frames cannot be heard; let it last")
        if frame < self._next_frame:
            raise ValueError(f"frame {frame} has gone through; the next one is {self._next_frame}")
        self._bursts.append(Burst.of(frame, frames, self._static))
