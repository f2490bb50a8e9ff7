"""The voices that ship: each can speak, and each is another voice."""

import subprocess
import sys
from itertools import combinations

import numpy as np
import pytest

from broadcaster.script.shelves import shipped_voices
from broadcaster.units import RATE
from broadcaster.voice.espeak import list_engine_variants, list_engine_voices
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import utterance_of

PROFILES = shipped_voices()
TEXT = "Heron calling all keepers, the lamp was lit at seven, and the gate is shut."
PAIRS = [
    (one, other)
    for one, other in combinations(PROFILES, 2)
    if PROFILES[one].language == PROFILES[other].language
]
LEAST_DIFFERENCE = 1.12
"""In pitch or in pace: two semitones, or an eighth faster."""


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


@pytest.fixture(scope="module")
def pitch_and_length():
    """Of each shipped voice with the same sentence."""
    spoken = {
        name: Speaker(None).speak(utterance_of(TEXT, profile)) for name, profile in PROFILES.items()
    }
    return {name: (pitch_hz(samples), len(samples)) for name, samples in spoken.items()}


def test_there_is_a_choice():
    """At least four voices ship, each with a line about it."""
    assert len(PROFILES) >= 4
    assert all(profile.about for profile in PROFILES.values())


@pytest.mark.parametrize(("one", "other"), PAIRS)
def test_voices_differ(pitch_and_length, one, other):
    """Any two shipped voices of one language differ audibly in pitch or in pace."""
    ratios = np.divide(pitch_and_length[one], pitch_and_length[other])
    assert np.exp(np.abs(np.log(ratios))).max() > LEAST_DIFFERENCE


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
