"""An independent decoder, multimon-ng, reads our Morse."""

import os
import shutil
import subprocess

import numpy as np
import pytest
from scipy.signal import resample_poly

from broadcaster.script.alphabets import MORSE
from broadcaster.sound.keying import keying
from broadcaster.sound.morse import tone_of
from broadcaster.units import RATE

DECODER = shutil.which("multimon-ng")
DECODER_HZ = 22_050

pytestmark = [
    pytest.mark.service,
    pytest.mark.skipif(
        DECODER is None and os.environ.get("CI") != "true",
        reason="the decoder multimon-ng is not installed",
    ),
]


def decoded(samples, dot_ms, gap_ms):
    """What the decoder prints, told the dot and the gap, since it does not find slow speeds itself.

    Half a second of silence follows, without which it keeps the last letter to itself.
    """
    heard = resample_poly(samples, DECODER_HZ // 150, RATE // 150)
    heard = np.concatenate((heard, np.zeros(DECODER_HZ // 2)))
    peak = 0.5 / np.abs(heard).max()
    raw = np.round(heard * peak * 32767).astype("<i2").tobytes()
    options = ["-q", "-t", "raw", "-a", "MORSE_CW", "-d", str(dot_ms), "-g", str(gap_ms), "-"]
    run = subprocess.run([DECODER, *options], input=raw, capture_output=True, check=True)
    return run.stdout.decode().strip()


@pytest.mark.parametrize("wpm", [4, 6, 8, 12, 13, 18, 20, 25, 30, 35])
@pytest.mark.parametrize("tone_hz", [400, 650, 1000])
def test_it_reads_every_speed(wpm, tone_hz):
    """From 4 to 35 words a minute; above that its own smoothing fails it."""
    dot_ms = round(1200 / wpm)
    text = "REED 41972 PARIS"
    assert decoded(tone_of(keying(text, wpm), tone_hz), dot_ms, dot_ms) == text


@pytest.mark.parametrize("wpm", [6, 12, 20])
def test_it_reads_every_character(wpm):
    """The alphabet of M.1677-1 without É, which it cannot print; × has the code of X."""
    dot_ms = round(1200 / wpm)
    characters = "".join(character for character in MORSE if character != "É")
    printed = characters.replace("×", "X")
    assert decoded(tone_of(keying(characters, wpm), 650), dot_ms, dot_ms) == printed


def test_it_reads_prosigns():
    """Signals sent as one character; AS and AR share their codes with `&` and `+`."""
    samples = tone_of(keying("<SN> <ERR> <K> <AS> <SK> <AR>", 12), 650)
    assert decoded(samples, 100, 100) == "<SN> <ERR_8> K & <SK> +"


@pytest.mark.parametrize("spacing", [8, 12, 18])
def test_it_reads_farnsworth_spacing(spacing):
    """Characters at 20 wpm, spaced out: it takes the long gaps for word gaps, the letters stand."""
    samples = tone_of(keying("REED 41972 PARIS", 20, spacing), 650)
    assert decoded(samples, 60, 60).replace(" ", "") == "REED41972PARIS"
