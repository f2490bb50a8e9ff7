"""The murmur of a neighbouring station: someone speaks, and not a word can be made out.

What is heard are our own voices, speaking a tongue that does not exist; see make_murmur.py. Pieces
of it follow each other by chance, so that it does not come round again.
"""

from functools import cache
from importlib.resources import files

import numpy as np
from numpy.typing import NDArray
from scipy.signal import resample
from scipy.special import ndtr

from broadcaster.period.bands import BandLimit
from broadcaster.period.chance import Chance, Quanta
from broadcaster.period.conditions import Conditions
from broadcaster.units import Samples, frames_from_seconds, gain_from_db

CLIP_RATE = 8_000
"""Frames a second of the clip that ships."""
CLIP_NAME = "murmur.npz"
_SLOPE_DB = 24.0
_PIECE_S = 3.0
_OVERLAP_S = 0.2
"""How long a piece is, and how long two overlap. Chosen by ear."""


@cache
def clip() -> NDArray[np.int8]:
    """The voices, shape (frames,), at CLIP_RATE; the end leads into the beginning."""
    with (files("broadcaster.period") / CLIP_NAME).open("rb") as file, np.load(file) as stored:
        samples: NDArray[np.int8] = stored["clip"]
    return samples


class Murmur:
    """Speech that cannot be understood, of a stated level, within a band."""

    latency = 0

    def __init__(
        self,
        level_dbfs: float,
        band_hz: tuple[float, float],
        inverted: bool,
        rate: float,
        chance: Chance,
        conditions: Conditions,
    ) -> None:
        """`level_dbfs`: RMS over the whole clip. `inverted`: f is heard as 4 kHz - f."""
        voices = _voices(band_hz, inverted, rate) * np.float32(gain_from_db(level_dbfs))
        length = frames_from_seconds(_PIECE_S, rate)
        pieces = None
        if chance.loop is not None:
            pieces = max(1, round(chance.loop / length))
            length = -(-chance.loop // pieces)
        self._overlap = min(frames_from_seconds(_OVERLAP_S, rate), length // 2)
        self._clip_frames = len(voices)
        self._voices = np.resize(voices, len(voices) + length + self._overlap)
        """The clip and as much of it again as a piece from its very end asks for."""
        self._places = chance.looped(pieces)
        self._pieces = Quanta(self._piece, length, chance.loop)
        self._length = length
        self._gain = conditions.beds

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The block over its murmur."""
        frames = len(block)
        block += self._pieces.read(frame, frames) * self._gain.read(frame, frames)
        return block

    def _piece(self, number: int) -> Samples:
        """A piece from anywhere in the clip, coming up while the one before goes."""
        piece = self._from_clip(number, 0, self._length).copy()
        if number or self._places.loop is not None:
            before = self._from_clip(number - 1, self._length, self._overlap)
            turn = (np.arange(self._overlap) + 0.5) * (np.pi / 2.0 / self._overlap)
            piece[: self._overlap] *= np.sin(turn).astype(np.float32)
            piece[: self._overlap] += before * np.cos(turn).astype(np.float32)
        return piece

    def _from_clip(self, number: int, first: int, frames: int) -> Samples:
        """Frames of the clip, counted from where the piece of a number begins; read only."""
        if self._places.loop is not None:
            number %= self._places.loop
        begin = first + int(ndtr(self._places.white(number, 1)[0]) * self._clip_frames)
        return self._voices[begin : begin + frames]


@cache
def _voices(band_hz: tuple[float, float], inverted: bool, rate: float) -> Samples:
    """The whole clip at `rate`, within its band, of RMS 1; its end still leads into its start."""
    voices = clip().astype(np.float32)
    if inverted:
        voices[1::2] *= np.float32(-1.0)
    voices = resample(voices, round(len(voices) * rate / CLIP_RATE))
    voices = BandLimit(*band_hz, _SLOPE_DB, rate).process(np.tile(voices, 2), 0)[len(voices) :]
    loudness = np.sqrt(np.square(voices, dtype=np.float64).mean())
    levelled: Samples = (voices / loudness).astype(np.float32)
    return levelled
