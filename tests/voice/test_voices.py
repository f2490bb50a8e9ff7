"""The voices that ship: each can speak, and each is another voice."""

import subprocess
import sys
from itertools import combinations

import numpy as np
import pytest

from broadcaster.script.shelves import shipped_voices
from broadcaster.units import RATE
from broadcaster.voice.espeak import list_engine_variants, list_engine_voices
from broadcaster.voice.reading import read_groups
from broadcaster.voice.speaker import Speaker

PROFILES = shipped_voices()
FIGURES = "0123456789"
PAIRS = list(combinations(PROFILES, 2))
THIRD_OCTAVES_HZ = 1000.0 * 2.0 ** (np.arange(-9, 9) / 3)
"""Middles of bands, 125 Hz to 6.3 kHz (IEC 61260-1)."""
LEAST_PITCH = 1.09
"""A semitone and a half. Chosen by its figure, by no ear."""
LEAST_TIMBRE_DB = 2.5
"""Between the shapes of two spectra, as an RMS over the bands. Chosen by ear; a higher pitch alone
changes the shape too, by 2.3 to 4.8 dB between 20, 38 and 60."""


def pitch_hz(samples):
    """Median fundamental of the voiced 50 ms windows, by autocorrelation, 50 to 400 Hz."""
    thinned = samples[: len(samples) // 3 * 3].reshape(-1, 3).mean(axis=1)
    window, shortest, longest = RATE // 60, RATE // 3 // 400, RATE // 3 // 50
    found = []
    for start in range(0, len(thinned) - window, window // 2):
        part = thinned[start : start + window]
        likeness = np.correlate(part, part, "full")[window - 1 :]
        lag = shortest + int(np.argmax(likeness[shortest:longest]))
        if likeness[0] > 1.0 and likeness[lag] > 0.5 * likeness[0]:
            found.append(RATE / 3 / lag)
    return float(np.median(found))


def timbre_db(samples):
    """Levels of the third octaves, less their mean: the shape of a voice's spectrum."""
    power = np.square(np.abs(np.fft.rfft(samples)))
    at_hz = np.fft.rfftfreq(len(samples), 1.0 / RATE)
    edges = THIRD_OCTAVES_HZ * 2.0 ** (-1 / 6), THIRD_OCTAVES_HZ * 2.0 ** (1 / 6)
    levels = [
        10.0 * np.log10(power[(at_hz >= low) & (at_hz < high)].sum())
        for low, high in zip(*edges, strict=True)
    ]
    return np.array(levels) - np.mean(levels)


def figures_said(profile):
    """The ten figures, one after the other without a pause."""
    bare = profile.model_copy(update={"pause": 0.0, "readings": "once", "figures": "plain"})
    return read_groups(
        FIGURES, bare, figures=None, gap=0.0, group_gap=0.0, rate=None, speaker=Speaker(None)
    )


@pytest.fixture(scope="module")
def measured():
    """Pitch and timbre of each shipped voice with the ten figures."""
    said = {name: figures_said(profile) for name, profile in PROFILES.items()}
    return {name: (pitch_hz(samples), timbre_db(samples)) for name, samples in said.items()}


def test_there_is_a_choice():
    """At least eight voices ship, in four languages, each with a line about it."""
    assert len(PROFILES) >= 8
    assert {profile.language for profile in PROFILES.values()} == {"en", "de", "fr", "es"}
    assert all(profile.about for profile in PROFILES.values())


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_voices_differ(measured, one, other):
    """Any two voices differ in timbre; two of one language in pitch as well, by two semitones."""
    pitches, timbres = zip(measured[one], measured[other], strict=True)
    assert np.sqrt(np.square(np.subtract(*timbres)).mean()) > LEAST_TIMBRE_DB
    if PROFILES[one].language == PROFILES[other].language:
        assert max(pitches) / min(pitches) > LEAST_PITCH


def test_engine_voices_are_listed():
    """The engine's voices and variants have the names that a profile uses."""
    assert {"gmw/en", "gmw/en-GB-x-rp", "gmw/de", "roa/fr"} <= set(list_engine_voices())
    assert {"m3", "f3", "whisper"} <= set(list_engine_variants())


def test_listing_is_cheap():
    """Names are listed without the libraries that make samples."""
    listing = (
        "import sys; from broadcaster.voice.espeak import list_engine_voices; "
        "list_engine_voices(); print('scipy' in sys.modules, 'pyttsx3' in sys.modules)"
    )
    done = subprocess.run(
        [sys.executable, "-c", listing], capture_output=True, text=True, check=True
    )
    assert done.stdout.split() == ["False", "False"]
