"""An independent decoder, multimon-ng, reads the Morse of the demo's loop files."""

import subprocess
import wave
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest
from scipy.signal import resample_poly

from broadcaster.rehearsal.loop import render_loop, round_of
from broadcaster.script.loading import load_programme
from broadcaster.script.programme import Morse
from broadcaster.units import RATE, frames_from_seconds
from broadcaster.voice.speaker import Speaker
from tests.rehearsal.items import ItemsMadeHere
from tests.services import needs

pytestmark = needs("multimon-ng")

DEMO = load_programme(str(Path(__file__).parents[2] / "scripts" / "low-water.yaml"))
DECODER_HZ = 22_050
# AR shares its code with the plus sign, K with the letter.
PRINTED = {"<AR>": "+", "<K>": "K"}
SENDING = [
    name
    for name, segment in DEMO.segments.items()
    if any(isinstance(item, Morse) for item in segment.play)
]


class LengthsKept(ItemsMadeHere):
    """Remembers where in the round each item begins."""

    def __init__(self, *arguments):
        super().__init__(*arguments)
        self.borders = [0]

    def fetch(self, cue):
        made = super().fetch(cue)
        self.borders.append(self.borders[-1] + len(made.samples))
        return made


def decoded(pcm, speed_wpm):
    """What the decoder prints, told the length of a dot and a level that noise stays under.

    Half a second of silence follows, without which it keeps the last letter to itself.
    """
    heard = resample_poly(pcm.astype(float), DECODER_HZ // 150, RATE // 150)
    heard = np.concatenate([heard, np.zeros(frames_from_seconds(0.5) * DECODER_HZ // RATE)])
    raw = np.round(heard / np.abs(heard).max() * 0.5 * 32767).astype("<i2").tobytes()
    dot_ms = str(round(1200 / speed_wpm))
    run = subprocess.run(
        [
            *("multimon-ng", "-q", "-t", "raw", "-a", "MORSE_CW"),
            *("-d", dot_ms, "-g", dot_ms, "-x", "-y", "-o", "3000", "-"),
        ],
        input=raw,
        capture_output=True,
        check=True,
    )
    return run.stdout.decode().strip()


@pytest.mark.parametrize("segment", SENDING)
def test_it_reads_what_is_sent(segment: str, tmp_path: Path):
    """Through the station's own sound, saturation, fading, static and all, letter by letter."""
    items = LengthsKept(DEMO, Speaker(None))
    path = tmp_path / "loop.wav"
    render_loop(DEMO, segment, path, items, progress=lambda done, total: None)
    with wave.open(str(path)) as file:
        pcm = np.frombuffer(file.readframes(file.getnframes()), "<i2")[::2]
    for cue, (start, end) in zip(round_of(DEMO, segment), pairwise(items.borders), strict=True):
        if isinstance(cue.item, Morse):
            sent = "".join(PRINTED.get(word, word) for word in cue.text.split())
            assert decoded(pcm[start:end], cue.item.speed).replace(" ", "") == sent
