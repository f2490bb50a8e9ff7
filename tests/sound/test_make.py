"""One function makes every kind of item, through a table."""

from pathlib import Path

import numpy as np
import pytest
import soundfile

from broadcaster.errors import BroadcasterError, ClipError, SpeechError, StationError
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import (
    ITEM_KINDS,
    Clip,
    Groups,
    IntervalSignal,
    Morse,
    Pause,
    Pips,
    Say,
    Spell,
    Tone,
)
from broadcaster.sound.keying import keying
from broadcaster.sound.level import SINE_PEAK
from broadcaster.sound.make import MAKERS, make_item
from broadcaster.story.cue import Carrier, text_of
from broadcaster.units import RATE, gain_from_db

KEEPER = VoiceProfile(about="a keeper", figure_gap=0.3, group_gap=1.0, pause=0.5)
WORD_S = 0.4


class Tuner:
    """Stands in for a speaker: every utterance is 0.4 s of 0.1, and is remembered."""

    def __init__(self):
        self.said = []

    def speak(self, utterance):
        """Remember the utterance, and say it in our way."""
        if "unspeakable" in utterance.text:
            raise SpeechError(utterance.text, "the voice passes it over")
        self.said.append(utterance)
        return np.full(round(WORD_S * RATE), 0.1, dtype=np.float32)


def made(item, text=None, folder=Path(), speaker=None):
    """The item's samples as the station would ask for them."""
    return make_item(item, text or text_of(item, {}), KEEPER, folder, speaker or Tuner())


EXAMPLES = {
    # item, length in seconds
    "say": (Say(say="Heron calling."), WORD_S + 0.5),
    "groups": (Groups(groups="41 0"), 3 * WORD_S + 0.3 + 1.0 + 0.5),
    "spell": (Spell(spell="AB"), 2 * WORD_S + 0.3 + 0.5),
    "morse": (Morse(morse="PARIS"), 5.0),  # 50 units of 0.1 s at 12 wpm
    "interval signal": (
        IntervalSignal(interval_signal="G4 rest rest", tempo=60, instrument="oscillator"),
        3.0,
    ),
    "tone": (Tone(tone="440 Hz + 550 Hz", for_=1.5), 1.5),
    "pips": (Pips(pips=6), 6.0),
    "clip": (Clip(clip="bell.wav", from_=0.25, to=1.0), 0.75),
    "pause": (Pause(pause=4.0), 4.0),
    "carrier": (Carrier(carrier=2.0), 2.0),
}


def test_every_kind_of_item_has_a_maker():
    """The table holds what is heard: no choice and no setting, but the station's own carrier."""
    heard = {*ITEM_KINDS, "carrier"} - {"choose", "set"}
    assert {kind.kind for kind in MAKERS} == heard == set(EXAMPLES)


@pytest.mark.parametrize("kind", EXAMPLES)
def test_an_item_has_its_length(tmp_path, kind):
    """Each kind is samples of the rooms' type, of the length that its options ask for."""
    soundfile.write(tmp_path / "bell.wav", np.full(RATE, 0.1), RATE)
    item, seconds = EXAMPLES[kind]
    samples = made(item, folder=tmp_path)
    assert samples.dtype == np.float32
    assert samples.ndim == 1
    assert len(samples) == pytest.approx(seconds * RATE, abs=1)
    assert np.abs(samples).max() <= 1.0
    assert samples.any() == (kind not in ("pause", "carrier"))


@pytest.mark.parametrize("kind", ["say", "morse", "interval signal", "tone", "pips", "clip"])
def test_the_writers_level_is_obeyed(tmp_path, kind):
    """`level: -6 dB` is half the amplitude."""
    soundfile.write(tmp_path / "bell.wav", np.full(RATE, 0.1), RATE)
    item, _ = EXAMPLES[kind]
    usual = made(item, folder=tmp_path)
    softer = made(item.model_copy(update={"level": -6.0}), folder=tmp_path)
    assert np.allclose(softer, usual * gain_from_db(-6.0), rtol=0, atol=1e-6)


def test_values_come_from_the_text_and_not_from_the_script():
    """A filled-in text is what is sent and said."""
    morse = Morse(morse="{crates_open} OPEN")
    assert len(made(morse, "3 OPEN")) == keying("3 OPEN", 12).frames
    speaker = Tuner()
    made(Say(say="{crates_open} open."), "Three open.", speaker=speaker)
    assert [utterance.text for utterance in speaker.said] == ["Three open."]


def test_options_of_speech_reach_the_voice():
    """Rate, figures and gaps of an item go before those of its voice."""
    speaker = Tuner()
    item = Groups(groups="97 8", figures="aeronautical", gap=0.1, group_gap=0.2, rate=120)
    samples = made(item, speaker=speaker)
    assert len(samples) == round((3 * WORD_S + 0.1 + 0.2 + 0.5) * RATE)
    assert [utterance.rate for utterance in speaker.said] == [120] * 3
    assert speaker.said[0].text != made_figures(figures="plain")[0].text


def made_figures(**options):
    """What is said for the group 9."""
    speaker = Tuner()
    made(Groups(groups="9", **options), speaker=speaker)
    return speaker.said


def test_morse_options_are_obeyed():
    """Speed, spacing and tone: 20 wpm at 5 wpm overall takes 12 s a word; the tone is 800 Hz."""
    samples = made(Morse(morse="PARIS", speed=20, spacing=5, tone=800.0))
    assert len(samples) == 12 * RATE
    mark = samples[500 : 500 + 2400].astype(float)  # inside the first dot
    assert np.argmax(np.abs(np.fft.rfft(mark))) * RATE / 2400 == 800
    assert np.abs(samples).max() == pytest.approx(SINE_PEAK, rel=1e-3)


def test_the_shortest_item_is_one_frame():
    """A pause too short for a frame still is one, so that a round always takes time."""
    assert len(made(Pause(pause=1e-6))) == 1


def test_the_same_item_is_the_same_samples(tmp_path):
    """Making an item twice gives the same bits."""
    soundfile.write(tmp_path / "bell.wav", np.full(RATE, 0.1), RATE)
    for item, _ in EXAMPLES.values():
        twice = [made(item, folder=tmp_path).tobytes() for _ in range(2)]
        assert twice[0] == twice[1]


@pytest.mark.parametrize(
    ("item", "text", "error"),
    [
        (Say(say="unspeakable"), None, SpeechError),
        (Clip(clip="none.wav"), None, ClipError),
        (Morse(morse="{fact}"), "_", StationError),
        (Morse(morse="PARIS " * 40, speed=2), None, StationError),
        (IntervalSignal(interval_signal="C4 " * 301, tempo=20), None, StationError),
    ],
)
def test_what_cannot_be_made_is_one_of_our_errors(tmp_path, item, text, error):
    """Failures are errors that the station knows how to cover, in one sentence."""
    with pytest.raises(error) as caught:
        made(item, text, folder=tmp_path)
    assert isinstance(caught.value, BroadcasterError)
    assert len(str(caught.value).splitlines()) == 1
