"""The way of the plain voice: past the period's sound, straight to the transmitter."""

import numpy as np

from broadcaster.units import Samples, frames_from_seconds, gain_from_db, silence

CROSS_FRAMES = frames_from_seconds(0.02)
"""How long one way takes to give way to the other. Chosen by ear."""
PLAIN_GAIN = np.float32(gain_from_db(8.0))
"""Over the usual level of speech. Measured: 2 LU louder than the demo's programme, its peaks at the
transmitter's ceiling; 6 dB more would gain 1 LU and press it flat."""


class PlainPath:
    """Puts the plain voice in the place of the received broadcast, frame for frame in step with it.

    At rest it passes the broadcast on untouched. Any cutting of the stream gives the same samples.
    """

    def __init__(self, latency: int) -> None:
        """`latency`: frames by which the received broadcast is later than the programme."""
        self._latency = latency
        self._opened = 0
        """How far the way is open: CROSS_FRAMES is all of it."""
        self._speech = silence(latency)
        self._gate = silence(latency)
        """What has come in and not gone out: speech, and how far (0 to 1) the way is open."""

    def process(self, received: Samples, speech: Samples | None, plain: list[slice]) -> Samples:
        """The broadcast with the plain voice in it: shape (frames,) in, the same shape out.

        `received`: the same frames as `speech`, but `latency` later. `plain`: the places in
        `speech` in which the plain voice has the air, silent or not; None where there are none.
        """
        frames = len(received)
        if speech is None and not self._opened and not self._gate.any():
            return received
        gate = np.concatenate([self._gate, self._next_gate(frames, plain)])
        said = np.concatenate([self._speech, silence(frames) if speech is None else speech])
        self._gate, self._speech = gate[frames:], said[frames:]
        mixed = received * (np.float32(1.0) - gate[:frames])
        mixed += said[:frames] * (gate[:frames] * PLAIN_GAIN)
        return mixed.astype(np.float32, copy=False)

    def _next_gate(self, frames: int, plain: list[slice]) -> Samples:
        """How far the way is open, frame by frame; it opens and closes at one pace."""
        wanted = np.full(frames, -1, dtype=np.int64)
        for place in plain:
            wanted[place] = 1
        opened = np.empty(frames, dtype=np.int64)
        starts = [0, *(np.flatnonzero(np.diff(wanted)) + 1)] if frames else []
        for start, stop in zip(starts, [*starts[1:], frames], strict=True):
            steps = np.arange(1, stop - start + 1) * wanted[start]
            opened[start:stop] = (self._opened + steps).clip(0, CROSS_FRAMES)
            self._opened = int(opened[stop - 1])
        gate: Samples = opened.astype(np.float32)
        return gate * np.float32(1.0 / CROSS_FRAMES)
