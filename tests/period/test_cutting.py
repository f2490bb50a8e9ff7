"""Any cutting of the stream into blocks gives the same samples, bit for bit."""

from typing import get_args

import numpy as np
import pytest
from hypothesis import given, settings

from broadcaster.period.chance import Chance
from broadcaster.period.conditions import Conditions
from broadcaster.period.processor import Processor
from broadcaster.period.reception import Reception, processor_from
from broadcaster.script import sounds
from broadcaster.script.reception import Transition
from broadcaster.transmitter.transmitter import Transmitter
from broadcaster.units import Samples
from tests.period.examples import EXAMPLES, WITHOUT_CHANCE
from tests.period.streams import EVERYTHING, cuts, in_blocks, noise, rms, speechlike

LOOP = 30_011
DAYS = 12_345_678_901
"""A frame after three days on air."""


def processor(
    kind: str, seed: int = 1, *, rate: int = 16_000, loop: int | None = None, frame: int = 0
) -> Processor:
    """A processor of a kind, its dials gliding over each other a while after `frame`."""
    conditions = Conditions(1.0, 5.0)
    conditions.turn(frame + 20_000, 15_000, roughness=1.7)
    conditions.turn(frame + 30_000, 8_000, strength=2.5)
    chance = Chance(seed, kind, loop)
    return processor_from(EXAMPLES[kind], chance, rate, conditions)


def test_every_kind_has_its_example() -> None:
    """What is proved here is proved of every kind of row that a table may hold."""
    rows = [get_args(tagged)[0] for tagged in get_args(get_args(sounds.AnyProcessor)[0])]
    assert sorted(EXAMPLES) == sorted(row.kind for row in rows)


@pytest.mark.parametrize("loop", [None, LOOP])
@pytest.mark.parametrize("kind", EXAMPLES)
def test_processor_is_block_proof(kind: str, loop: int | None) -> None:
    """It gives the same samples for every cutting, from any first frame on, while dials glide."""
    programme = noise(50_000, 0.3)
    whole = {
        frame: in_blocks(processor(kind, loop=loop, frame=frame), programme, frame=frame)
        for frame in (0, DAYS)
    }

    @settings(max_examples=8, deadline=None)
    @given(cuts)
    def same(lengths: list[int]) -> None:
        for frame, expected in whole.items():
            again = processor(kind, loop=loop, frame=frame)
            np.testing.assert_array_equal(in_blocks(again, programme, lengths, frame), expected)

    same()


@pytest.mark.parametrize("kind", EXAMPLES)
def test_single_frames_of_a_processor(kind: str) -> None:
    """Blocks of one frame give the same samples, too."""
    programme = noise(1_000, 0.3)
    single = in_blocks(processor(kind), programme, [1] * 1_000)
    np.testing.assert_array_equal(single, in_blocks(processor(kind), programme))


@pytest.mark.parametrize("kind", EXAMPLES)
def test_seed_alone_decides_a_processor(kind: str) -> None:
    """One seed gives the same samples again; another gives others, where there is any chance."""
    programme = noise(50_000, 0.3)
    first, again, other = (in_blocks(processor(kind, seed), programme) for seed in (1, 1, 2))
    np.testing.assert_array_equal(first, again)
    assert (rms(first - other) > 1e-4) == (kind not in WITHOUT_CHANCE)


class Broadcast:
    """Reception and transmitter; dials glide, and transitions of every kind lie over each other."""

    def __init__(self, loop: int | None = None) -> None:
        self._reception = Reception(EVERYTHING, 7, loop)
        self._transmitter = Transmitter()
        for place, kind in enumerate(get_args(Transition)):
            self._reception.give_way(kind, 5_001 + 15_000 * place)  # type: ignore[arg-type]
        self._reception.set(10_000, strength=3.3)
        self._reception.set(20_000, roughness=1.4, glide_frames=30_000)

    def process(self, block: Samples, frame: int) -> Samples:
        """The next frames."""
        return self._transmitter.process(self._reception.process(block, frame), frame)


@pytest.mark.parametrize("loop", [None, LOOP])
def test_broadcast_is_block_proof(loop: int | None) -> None:
    """The whole stream gives the same samples for every cutting, transitions, dials and all."""
    programme = speechlike(100_000) * np.float32(3.0)
    expected = in_blocks(Broadcast(loop), programme)

    @settings(max_examples=15, deadline=None)
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
