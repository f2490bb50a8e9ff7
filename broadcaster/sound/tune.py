"""Interval signals: a station's own tune on an instrument of ours, built from its partials."""

import math
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from broadcaster.sound.edges import rising_edge
from broadcaster.sound.level import as_loud_as_speech
from broadcaster.units import RATE, Samples, frames_from_seconds, gain_from_db

_HEARD_DB = -40.0  # a partial that has fallen this far has died away
_DECAY_DB = 60.0  # as reverberation is measured: the time to fall by 60 dB (ISO 3382)
_C5_HZ = 523.251
_HIGHEST_HZ = 15_000.0  # what FM broadcasting carries (Rec. ITU-R BS.450)


@dataclass(frozen=True, slots=True)
class Partial:
    """One sine of a note."""

    ratio: float
    """Its frequency, as a multiple of the note's."""
    gain: float
    """Its amplitude when the note begins; scale is free, the tune is levelled as a whole."""
    decay_s: float = math.inf
    """How long it takes to fall by 60 dB in a note of C5; inf: it is held."""


@dataclass(frozen=True, slots=True)
class Instrument:
    """How a note sounds. One with held partials sounds for its beat, a struck one rings on."""

    partials: tuple[Partial, ...]
    attack_s: float
    release_s: float
    """The fall at the end: after its beat if held, at the end of its ringing if struck."""

    @property
    def held(self) -> bool:
        """Whether a note lasts as long as the player wants."""
        return any(math.isinf(partial.decay_s) for partial in self.partials)


# Ratios of a free bar 1 : 2.756 : 5.404 (Euler and Bernoulli's beam); of a bell hum, prime, tierce,
# quint and nominal 0.5 : 1 : 1.2 : 1.5 : 2 (from memory). All else is our own choice.
INSTRUMENTS: dict[str, Instrument] = {
    "celesta": Instrument(
        (
            Partial(1.0, 1.0, 1.8),
            Partial(2.0, 0.10, 1.1),
            Partial(2.756, 0.16, 0.6),
            Partial(5.404, 0.08, 0.15),
        ),
        attack_s=0.003,
        release_s=0.03,
    ),
    "reed": Instrument(
        tuple(Partial(float(n), n**-1.1 * (1.0 if n % 2 else 0.6)) for n in range(1, 13)),
        attack_s=0.045,
        release_s=0.12,
    ),
    "oscillator": Instrument(
        (Partial(1.0, 1.0), Partial(2.0, 0.06), Partial(3.0, 0.03)),
        attack_s=0.012,
        release_s=0.04,
    ),
    "bell buoy": Instrument(
        (
            Partial(0.5, 0.30, 4.0),
            Partial(1.0, 1.0, 3.6),
            Partial(1.2, 0.45, 2.8),
            Partial(1.5, 0.22, 2.0),
            Partial(2.0, 0.55, 1.8),
            Partial(2.67, 0.18, 1.0),
            Partial(3.0, 0.14, 0.8),
            Partial(4.0, 0.10, 0.4),
        ),
        attack_s=0.002,
        release_s=0.05,
    ),
}


def tune(notes_hz: Sequence[float | None], tempo: float, instrument: Instrument) -> Samples:
    """A tune of notes (None is a rest), `tempo` of them a minute, levelled as a whole.

    Each note starts on its beat, to the frame, and rings over those after it. The tune ends with
    the beat in which its last note has died away (40 dB down; a held note: released), so it is a
    whole number of beats long, at least one a note or rest, and keeps its time when it is played
    again. Shape (frames,); raises ValueError for no notes.
    """
    if not notes_hz:
        raise ValueError("a tune has at least one note or rest")
    beat_s = 60.0 / tempo
    played = {
        hertz: _note(instrument, hertz, beat_s) for hertz in set(notes_hz) if hertz is not None
    }
    notes = [
        (frames_from_seconds(beat * beat_s), played[hertz])
        for beat, hertz in enumerate(notes_hz)
        if hertz is not None
    ]
    end = max((start + len(note) for start, note in notes), default=0)
    beats = max(len(notes_hz), math.ceil(end / RATE / beat_s))
    total = np.zeros(frames_from_seconds(beats * beat_s))
    for start, note in notes:
        total[start : start + len(note)] += note
    return as_loud_as_speech(total.astype(np.float32))


def _note(instrument: Instrument, hertz: float, beat_s: float) -> NDArray[np.float64]:
    """One note from its attack to where it has died away."""
    slowness = math.sqrt(_C5_HZ / hertz)  # low notes ring longer
    length_s = beat_s + instrument.release_s
    if not instrument.held:
        longest_s = max(partial.decay_s for partial in instrument.partials)
        length_s = slowness * longest_s * _HEARD_DB / -_DECAY_DB
    seconds = np.arange(frames_from_seconds(length_s)) / RATE
    sound = np.zeros(len(seconds))
    for partial in instrument.partials:
        if partial.ratio * hertz < _HIGHEST_HZ:
            fall = np.exp(seconds * math.log(gain_from_db(-_DECAY_DB)) / partial.decay_s / slowness)
            sound += partial.gain * fall * np.sin(2.0 * np.pi * partial.ratio * hertz * seconds)
    attack = min(frames_from_seconds(instrument.attack_s), len(sound))
    release = min(frames_from_seconds(instrument.release_s), len(sound))
    sound[:attack] *= rising_edge(attack)
    sound[-release:] *= rising_edge(release)[::-1]
    return sound
