"""Readability, 1 to 5, of what goes out: as in the Q-code QRK (Rec. ITU-R M.1172).

The code names its grades (1 bad, 2 poor, 3 fair, 4 good, 5 excellent) and no numbers. The numbers
here are ours.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from broadcaster.listening.copied import Copied
from broadcaster.listening.hearing import Heard
from broadcaster.listening.sii import (
    NORMAL_EFFORT_SPL,
    spectrum_levels,
    speech_intelligibility_index,
)
from broadcaster.listening.stoi import CleanSpeech
from broadcaster.units import RATE, Samples, db_from_power, frames_from_seconds
from broadcaster.voice.finish import SPEECH_DBFS

SPL_OF_FULL_SCALE = NORMAL_EFFORT_SPL - SPEECH_DBFS
"""The listener turns the volume until speech, which leaves the studio at SPEECH_DBFS, is as loud as
a person who speaks normally at 1 m: full scale is 82.35 dB SPL."""

BAD, EXCELLENT = 1.0, 5.0
_GRADES = np.array([1.0, 2.0, 3.0, 4.0, 5.0])
_SII = np.array([0.15, 0.37, 0.58, 0.78, 0.88])
_STOI = np.array([0.46, 0.62, 0.76, 0.86, 0.93])
"""What speech must reach for each grade; the worse of the two counts. Between the grades it is
straight. Ours: from 4 on, the recogniser of the tests copies figures about as well as without any
noise, at 3 two thirds of them, at 1 none. (A person copies more: in ANSI S3.5, Annex A, from
memory, a good system has an index above 0.75, a poor one below 0.45.) STOI has where the shipped
sounds reach it together with the index."""
_KEYED_DB = np.array([0.0, 10.0, 20.0, 30.0, 40.0])
"""What a keyed tone must reach for each grade, over the noise in its critical band. A tone is just
heard at -3 dB (critical ratio of 18 dB at 1 kHz: Hawkins and Stevens, 1950; from memory). The rest
is ours: for people who have not learnt the code, and so that a sound need not leap where an item is
keyed among items that are spoken."""
_TONES_WITHIN_DB = (-10.0, 50.0)
"""No more than a grade beyond the scale, so that a fade is not made good by what is loud anyway."""

_TONE_FRAMES = frames_from_seconds(0.1)
_LOWEST_TONE_HZ = 100.0


@dataclass(frozen=True, slots=True)
class Readability:
    """How readable an item is, by several stretches of it."""

    grades: tuple[float, ...]
    """Of each stretch. Not held within 1 and 5: below and above, the scale goes on straight."""
    over_bed_db: float
    """The programme's level over that of all noise, where it is heard."""

    @property
    def mean(self) -> float:
        """Of all stretches, 1 to 5."""
        return _within(self.unbounded)

    @property
    def worst(self) -> float:
        """Of the worst stretch, 1 to 5."""
        return _within(min(self.grades))

    @property
    def unbounded(self) -> float:
        """The mean, and how far beyond the ends of the scale it lies."""
        return math.fsum(self.grades) / len(self.grades)


def _within(grade: float) -> float:
    return min(max(grade, BAD), EXCELLENT)


class Judge:
    """Rates stretches of one item, as often as they are heard."""

    def __init__(self, stretches: Sequence[Samples], copied: Copied) -> None:
        """`stretches`: dry, as a Listener hears them."""
        self._clean = []
        if copied is Copied.SPEECH:
            known = {id(stretch): CleanSpeech(stretch) for stretch in stretches}
            self._clean = [known[id(stretch)] for stretch in stretches]

    def rate(self, heard: Sequence[Heard]) -> Readability:
        """How readable they are."""
        if self._clean:
            pairs = zip(self._clean, heard, strict=True)
            grades = tuple(_grade_of_speech(clean, stretch) for clean, stretch in pairs)
        else:
            grades = tuple(_grade_of_tones(stretch) for stretch in heard)
        programme = math.fsum(float(np.square(stretch.programme).mean()) for stretch in heard)
        noise = math.fsum(float(np.square(stretch.noise).mean()) for stretch in heard)
        return Readability(grades, float(db_from_power(np.array(programme / noise))))


def _grade_of_speech(clean: CleanSpeech, heard: Heard) -> float:
    index = speech_intelligibility_index(
        spectrum_levels(heard.programme, SPL_OF_FULL_SCALE),
        spectrum_levels(heard.noise, SPL_OF_FULL_SCALE),
    )
    return grade_of_speech(index, clean.stoi(heard.received))


def grade_of_speech(sii: float, stoi: float) -> float:
    """The grade of speech by its two indexes, beyond 1 and 5 as straight as next to them."""
    return min(_straight(sii, _SII), _straight(stoi, _STOI))


def _grade_of_tones(heard: Heard) -> float:
    """The mean of 100 ms each, by the strongest line of the programme in them."""
    programme, noise = _powers(heard.programme), _powers(heard.noise)
    line_hz = np.fft.rfftfreq(_TONE_FRAMES, 1.0 / RATE)
    audible = line_hz >= _LOWEST_TONE_HZ
    strongest = line_hz[np.where(audible, programme, 0.0).argmax(axis=1)]
    inside = np.abs(line_hz - strongest[:, None]) <= critical_band_hz(strongest)[:, None] / 2.0
    ratio_db = db_from_power((programme * inside).sum(axis=1) / (noise * inside).sum(axis=1))
    grades = [_straight(ratio, _KEYED_DB) for ratio in ratio_db.clip(*_TONES_WITHIN_DB)]
    return math.fsum(grades) / len(grades)


def critical_band_hz(frequency_hz: NDArray[np.float64]) -> NDArray[np.float64]:
    """Equivalent rectangular bandwidth of the ear at a frequency.

    B. R. Glasberg and B. C. J. Moore, "Derivation of auditory filter shapes from notched-noise
    data", Hearing Research 47, 1990; from memory.
    """
    width_hz: NDArray[np.float64] = 24.7 * (4.37e-3 * frequency_hz + 1.0)
    return width_hz


def _powers(samples: Samples) -> NDArray[np.float64]:
    """Power spectra of every 100 ms: shape (windows, lines)."""
    whole = samples[: len(samples) // _TONE_FRAMES * _TONE_FRAMES].reshape(-1, _TONE_FRAMES)
    spectra = np.fft.rfft(whole * np.hanning(_TONE_FRAMES), axis=1)
    return np.square(spectra.real) + np.square(spectra.imag)


def _straight(value: float, knots: NDArray[np.float64]) -> float:
    """The grade of a value: straight from knot to knot, and on beyond the outermost."""
    place = int(np.clip(np.searchsorted(knots, value), 1, len(knots) - 1))
    low, high = knots[place - 1], knots[place]
    return float(_GRADES[place - 1] + (value - low) / (high - low))
