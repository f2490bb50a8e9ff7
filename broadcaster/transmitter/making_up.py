"""The steady gain that brings every period sound to the same loudness.

Saturation makes a sound louder and fading softer, as it must be; the transmitter's input wants one
level. A gain that follows the programme would pump the bed in every pause, so this one never moves:
it is worked out before air, from a passage that is as loud and as coloured as speech.
"""

from functools import cache

import numpy as np
from scipy.signal import firwin2, oaconvolve

from broadcaster.period.chance import Chance
from broadcaster.period.reception import Reception
from broadcaster.script.sounds import Sound
from broadcaster.transmitter.loudness import loudness_lufs
from broadcaster.units import RATE, Samples, frames_from_seconds, gain_from_db

TARGET_LUFS = -20.0
"""Of speech on air: 3 LU over EBU R 128, since a cheap transmitter has noise of its own; the peaks
of the shipped voices still pass nearly untouched. Chosen by its figures, by no ear."""
SPEECH_LUFS = -21.2
"""Of spoken items as they come in, at their steady RMS: measured, the mean of the shipped voices,
which lie from -22.4 to -20.6."""
MOST_DB = 20.0
"""No more is made up, either way."""
_SPECTRUM_HZ = (0.0, 60.0, 120.0, 500.0, 8_000.0, 24_000.0)
_SPECTRUM_DB = (-60.0, -30.0, 0.0, 0.0, -30.0, -60.0)
"""Level to 500 Hz, then 7.5 dB an octave down: about the long-term spectrum of normal vocal effort
in ANSI S3.5, Table 3."""
_SYLLABLES_HZ = 4.0
"""Syllables a second: common practice, no source."""
_PASSAGES = 6
_PASSAGE_S = 1.5
_APART_S = 61.0
"""So many passages so far apart, that a slow fade is met in all its states."""


@cache
def make_up_db(sound: Sound) -> float:
    """The gain, in dB, by which speech of SPEECH_LUFS leaves this sound at TARGET_LUFS.

    The same for the same sound; within a few decibels for a real voice, whose spectrum is its own.
    """
    passage = _passage()
    reception = Reception(sound, seed=0)
    heard = [
        reception.process(passage, frames_from_seconds(number * _APART_S))
        for number in range(_PASSAGES)
    ]
    settled = [part[len(part) // 6 :] for part in heard]
    wanted = TARGET_LUFS - loudness_lufs(np.concatenate(settled))
    return float(np.clip(wanted, -MOST_DB, MOST_DB))


def _passage() -> Samples:
    """Noise with the spectrum and the syllables of speech, as loud as it."""
    frames = frames_from_seconds(_PASSAGE_S)
    shape = firwin2(1023, _SPECTRUM_HZ, [gain_from_db(level) for level in _SPECTRUM_DB], fs=RATE)
    noise = oaconvolve(Chance(0, "passage").white(0, frames), shape, "same")
    beat = 2.0 * np.pi * _SYLLABLES_HZ * np.arange(frames) / RATE
    speech = (noise * (1.0 - 0.9 * np.cos(beat))).astype(np.float32)
    return speech * np.float32(gain_from_db(SPEECH_LUFS - loudness_lufs(speech)))
