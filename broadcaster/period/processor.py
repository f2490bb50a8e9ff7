"""What every processor of a stream is."""

from typing import Protocol

from broadcaster.units import Samples


class Processor(Protocol):
    """One station on the stream's way. It carries its own state and never goes back.

    Any cutting of the same stream into blocks gives the same samples, bit for bit. A processor is
    made for a stream of `rate` frames a second (Hz), which need not be that between the rooms, and
    counts in its frames; one that the dials of reception move is given the Conditions.
    """

    @property
    def latency(self) -> int:
        """Frames by which what comes out is later than what went in."""

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The next frames of the stream: shape (frames,) in, the same shape out.

        `frame` is the absolute number of the block's first frame, from 0. The block becomes the
        processor's own: it may be changed in place and given back.
        """
