"""What tests of streams share: cutting into blocks, measuring levels and spectra."""

from collections.abc import Sequence
from typing import Protocol

import numpy as np
from hypothesis import strategies as st
from numpy.typing import NDArray

from broadcaster.script.sounds import Sound
from broadcaster.units import RATE, Samples

LONGEST_BLOCK = 65_536

cuts = st.lists(
    st.one_of(st.integers(1, 40), st.integers(1, 3000), st.integers(1, LONGEST_BLOCK)), max_size=10
)
"""Lengths of the first blocks of a stream; what is left comes in blocks of LONGEST_BLOCK."""

EVERYTHING = Sound.model_validate(
    {
        "about": "Every processor there is.",
        "processors": [
            {"band": "90 Hz to 5 kHz", "slope": "24 dB"},
            {"saturation": "8 dB"},
            {"fading": "14 dB", "rate": "0.3 Hz"},
            {"hiss": "-38 dB", "band": "200 Hz to 4 kHz", "slope": "6 dB"},
            {"crackle": "-26 dB", "every": "200 ms"},
            {"band": "200 Hz to 3.4 kHz", "slope": "18 dB"},
            {"hum": "-50 dB", "mains": "60 Hz"},
        ],
    }
)


class Stream(Protocol):
    """A processor, a reception or a transmitter."""

    def process(self, block: Samples, frame: int, /) -> Samples:
        """The next frames."""


def in_blocks(
    stream: Stream, programme: Samples, lengths: Sequence[int] = (), frame: int = 0
) -> Samples:
    """A whole programme through a stream, cut as told, its first frame being `frame`."""
    parts = []
    done = 0
    pending = list(lengths)
    while done < len(programme):
        length = pending.pop(0) if pending else LONGEST_BLOCK
        block = programme[done : done + length].copy()
        parts.append(stream.process(block, frame + done))
        done += len(block)
    return np.concatenate(parts)


def noise(frames: int, level: float = 0.1, seed: int = 1) -> Samples:
    """Noise that stands for any programme."""
    return np.random.default_rng(seed).standard_normal(frames).astype(np.float32) * np.float32(
        level
    )


def speechlike(frames: int) -> Samples:
    """Noise with pauses of digital silence, at the level of speech."""
    sounding = np.sin(2.0 * np.pi * np.arange(frames) / 20_000) > -0.3
    return noise(frames, 0.1) * sounding.astype(np.float32)


def db(ratio: float | np.floating) -> float:
    """An amplitude ratio in decibels."""
    return float(20.0 * np.log10(ratio))


def rms(samples: Samples) -> float:
    """Root of the mean square."""
    return float(np.sqrt(np.square(samples, dtype=np.float64).mean()))


def response_db(stream: Stream, at_hz: Sequence[float], level: float = 0.5) -> NDArray[np.float64]:
    """The gain of a linear stream at some frequencies, from its answer to a pulse of one second."""
    pulse = np.zeros(RATE, np.float32)
    pulse[0] = level
    spectrum = np.abs(np.fft.rfft(in_blocks(stream, pulse).astype(np.float64))) / level
    return np.array([db(spectrum[round(hz)]) for hz in at_hz])
