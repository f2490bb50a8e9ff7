"""The ring: what is written is read, once, in order."""

import hypothesis.strategies as st
import numpy as np
import pytest
from hypothesis import given

from broadcaster.air.ring import FRAME_BYTES, Ring, pcm_from_samples


@given(st.lists(st.tuples(st.integers(0, 9), st.integers(0, 12)), max_size=40))
def test_frames_come_out_once_and_in_order(turns: list[tuple[int, int]]) -> None:
    """Whatever the sizes, round and round: the bytes read are the bytes written."""
    ring = Ring(16)
    written, read, count = b"", b"", 0
    for put, take in turns:
        frames = min(put, ring.room)
        pcm = b"".join((count + k).to_bytes(FRAME_BYTES, "little") for k in range(frames))
        count += frames
        ring.write(pcm)
        written += pcm
        read += ring.read(take)
    assert read == written[: len(read)]
    assert ring.filled * FRAME_BYTES == len(written) - len(read)


def test_more_than_there_is_room_for_is_an_error() -> None:
    """The writer asks for room first."""
    with pytest.raises(ValueError, match="do not fit"):
        Ring(4).write(bytes(5 * FRAME_BYTES))


def test_pcm_is_two_equal_channels_of_16_bits() -> None:
    """Full scale is 32,767; beyond it the samples are clipped, never wrapped."""
    pcm = pcm_from_samples(np.array([0.0, 1.0, -1.0, 1.5, 0.5], dtype=np.float32))
    assert np.frombuffer(pcm, "<i2").reshape(-1, 2).tolist() == [
        [0, 0],
        [32767, 32767],
        [-32767, -32767],
        [32767, 32767],
        [16384, 16384],
    ]


@pytest.mark.parametrize(("side", "heard", "silent"), [("left", 0, 1), ("right", 1, 0)])
def test_one_side_carries_the_signal_and_the_other_is_silent(side, heard, silent) -> None:
    """Two stations share a stereo device: what one sends is, on its side, what both sides had."""
    samples = np.array([0.5, -1.0, 0.25], np.float32)
    both = np.frombuffer(pcm_from_samples(samples), "<i2").reshape(-1, 2)
    one = np.frombuffer(pcm_from_samples(samples, side), "<i2").reshape(-1, 2)
    assert (one[:, heard] == both[:, heard]).all()
    assert not one[:, silent].any()
