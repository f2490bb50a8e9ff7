"""Any cutting of the stream into blocks gives the same samples, bit for bit."""

from collections.abc import Callable

import numpy as np
import pytest
from hypothesis import given, settings

from broadcaster.period.bands import BandLimit
from broadcaster.period.beds import Crackle, Hiss, Hum
from broadcaster.period.chance import Chance
from broadcaster.period.fading import Fading
from broadcaster.period.processor import Processor
from broadcaster.period.reception import Reception
from broadcaster.period.saturation import Saturation
from broadcaster.transmitter.limiter import Limiter
from broadcaster.transmitter.transmitter import Transmitter
from broadcaster.units import Samples
from tests.period.streams import EVERYTHING, cuts, in_blocks, noise, speechlike

LOOP = 30_011

PROCESSORS: dict[str, Callable[[], Processor]] = {
    "band": lambda: BandLimit(300.0, 3400.0, 24.0),
    "saturation": lambda: Saturation(9.0),
    "fading": lambda: Fading(14.0, 3.0, Chance(1, "fading")),
    "fading in a loop": lambda: Fading(14.0, 3.0, Chance(1, "fading", LOOP)),
    "hiss": lambda: Hiss(-40.0, (200.0, 5000.0), 12.0, Chance(1, "hiss")),
    "hiss in a loop": lambda: Hiss(-40.0, (200.0, 5000.0), 12.0, Chance(1, "hiss", LOOP)),
    "crackle": lambda: Crackle(-20.0, 0.05, (200.0, 6000.0), Chance(1, "crackle")),
    "crackle in a loop": lambda: Crackle(-20.0, 0.05, (200.0, 6000.0), Chance(1, "crackle", LOOP)),
    "hum": lambda: Hum(-40.0, 50.0, (0.0, -6.0)),
    "hum in a loop": lambda: Hum(-40.0, 50.0, (0.0, -6.0), LOOP),
    "limiter": lambda: Limiter(-1.0),
}


class Broadcast:
    """Reception and transmitter, with two disturbances on the way."""

    def __init__(self, loop: int | None = None) -> None:
        self._reception = Reception(EVERYTHING, 7, loop)
        self._transmitter = Transmitter()
        self._reception.disturb(20_001, 9_000)
        self._reception.disturb(26_000, 4_001)

    def process(self, block: Samples, frame: int) -> Samples:
        """The next frames."""
        return self._transmitter.process(self._reception.process(block, frame), frame)


@pytest.mark.parametrize("name", PROCESSORS)
def test_processor_is_block_proof(name: str) -> None:
    """A processor gives the same samples for every cutting, from any first frame on."""
    make = PROCESSORS[name]
    programme = noise(75_000, 0.5)
    whole = {frame: in_blocks(make(), programme, frame=frame) for frame in (0, 12_345_678_901)}

    @settings(max_examples=12, deadline=None)
    @given(cuts)
    def same(lengths: list[int]) -> None:
        for frame, expected in whole.items():
            np.testing.assert_array_equal(in_blocks(make(), programme, lengths, frame), expected)

    same()


@pytest.mark.parametrize("loop", [None, LOOP])
def test_broadcast_is_block_proof(loop: int | None) -> None:
    """The whole stream gives the same samples for every cutting, disturbances and all."""
    programme = speechlike(100_000) * np.float32(3.0)
    expected = in_blocks(Broadcast(loop), programme)

    @settings(max_examples=30, deadline=None)
    @given(cuts)
    def same(lengths: list[int]) -> None:
        np.testing.assert_array_equal(in_blocks(Broadcast(loop), programme, lengths), expected)

    same()


def test_single_frames() -> None:
    """Blocks of one frame give the same samples, too."""
    programme = speechlike(3_000)
    expected = in_blocks(Broadcast(), programme)
    np.testing.assert_array_equal(in_blocks(Broadcast(), programme, [1] * 3_000), expected)


def test_no_frames_at_all() -> None:
    """An empty block changes nothing."""
    programme = speechlike(5_000)
    stream = Broadcast()
    assert stream.process(programme[:0], 0).shape == (0,)
    first = stream.process(programme[:3_000], 0)
    assert stream.process(programme[:0], 3_000).shape == (0,)
    rest = stream.process(programme[3_000:], 3_000)
    np.testing.assert_array_equal(np.concatenate([first, rest]), in_blocks(Broadcast(), programme))
