"""The speaker: the same words are the same samples, and a failure is an error, never silence."""

import os
import random
import signal
import time
from collections import defaultdict
from multiprocessing import active_children

import numpy as np
import pytest

from broadcaster.errors import SpeechError
from broadcaster.script.profiles import VoiceProfile
from broadcaster.units import db_from_gain, seconds_from_frames
from broadcaster.voice.child import START_METHOD, speak_in_child
from broadcaster.voice.engine import DrySpeech
from broadcaster.voice.espeak import Espeak
from broadcaster.voice.finish import CEILING_DBFS, SPEECH_DBFS, sounding_rms
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import Utterance, utterance_of


def utterance(text="The lamp is lit.", engine_voice="gmw/en", rate=150, pitch=50):
    """An utterance of the bundled engine."""
    return Utterance(text, "espeak", engine_voice, rate, pitch, 50)


VOICES = ["gmw/en", "gmw/en-GB-x-rp+m3", "gmw/en-GB-scotland+f3", "gmw/en+whisper", "gmw/de"]
KEYS = [
    utterance(text, voice, rate)
    for number, voice in enumerate(VOICES)
    for text, rate in [
        ("Heron calling all keepers.", 100 + 20 * number),
        ("niner", 150),
        ("Set the gate to the first group, then the second; and wait.", 170),
        ("Привет, 😀!", 200),
    ]
]


class Engine:
    """An engine that does what a test wants in the child."""

    def __init__(self, say):
        self.say = say

    needs_fresh_process = False

    def version(self, voice):
        """Nothing to load."""
        return "test"


def speaker_with(say, time_limit_s=10.0):
    """A speaker whose only engine says what a test wants."""
    return Speaker(None, time_limit_s, {"espeak": Engine(say)}, "fork")


def test_same_words_same_bits():
    """Speech is a function of its key: 210 utterances over 20 keys in random order, one output
    for each key."""
    outputs = defaultdict(set)
    engine = Espeak()
    engine.version("gmw/en")
    order = random.Random(58).choices(KEYS, k=190) + KEYS
    for key in order:
        outputs[key].add(speak_in_child(engine, key, 10.0, START_METHOD).pcm.tobytes())
    assert [len(each) for each in outputs.values()] == [1] * len(KEYS)


@pytest.mark.parametrize("voice", ["gmw/en", "gmw/en+whisper"])
def test_a_fresh_process_says_the_same(voice):
    """A process started anew says the same samples as a forked one, noise of the breath included:
    where forking is not to be had, at another time of day, in another run."""
    forked = Speaker(None, start_method="fork").speak(utterance(engine_voice=voice))
    fresh = Speaker(None, start_method="spawn").speak(utterance(engine_voice=voice))
    assert np.array_equal(fresh, forked)


def test_a_command_to_the_engine_changes_nothing_after_it():
    """A text with espeak's command for a slow speed leaves the next one as it was."""
    speaker = Speaker(None)
    before = speaker.speak(utterance())
    speaker.speak(utterance("\x0180S The lamp is out."))
    assert np.array_equal(speaker.speak(utterance()), before)


def test_samples_are_the_rooms_samples():
    """One dimension, float32, 48 kHz: the lengths of a sentence at 150 words a minute agree."""
    samples = Speaker(None).speak(utterance("one two three four five six seven eight nine ten"))
    assert (samples.ndim, samples.dtype) == (1, np.float32)
    assert 3.0 < seconds_from_frames(len(samples)) < 5.0  # 10 words: 4 s by the rate's definition


@pytest.mark.parametrize("rate", [80, 120, 160, 200, 300, 450])
def test_no_silence_after_the_words(rate):
    """Speech ends with sound: espeak's zeros at the end are cut off at every rate."""
    samples = Speaker(None).speak(utterance("The lamp is lit. The gate is shut!", rate=rate))
    assert np.flatnonzero(samples)[-1] == len(samples) - 1


@pytest.mark.parametrize("rate", [80, 450])
def test_rate_is_obeyed(rate):
    """Twice the rate, about half the length."""
    text = "one two three four five six seven eight nine ten"
    usual = len(Speaker(None).speak(utterance(text, rate=150)))
    length = len(Speaker(None).speak(utterance(text, rate=rate)))
    assert 0.6 < (length * rate) / (usual * 150) < 1.6


@pytest.mark.parametrize("key", KEYS, ids=str)
def test_every_voice_is_equally_loud(key):
    """RMS while it sounds is SPEECH_DBFS within 0.01 dB, or less with the peak at its ceiling."""
    samples = Speaker(None).speak(key)
    level = db_from_gain(sounding_rms(samples))
    peak = db_from_gain(float(np.abs(samples).max()))
    assert peak < CEILING_DBFS + 0.01
    assert level == pytest.approx(SPEECH_DBFS, abs=0.01) or (
        level < SPEECH_DBFS and peak == pytest.approx(CEILING_DBFS, abs=0.01)
    )


@pytest.mark.parametrize(
    ("voice", "reason"),
    [
        ("gmw/en-GB-x-rpp", "no voice 'gmw/en-GB-x-rpp'. Near it: gmw/en-GB-x-rp"),
        ("gmw/EN", "no voice 'gmw/EN'. Near it: gmw/en"),
        ("gmw/en+M3", r"no variant 'M3'. Near it: m3"),
        ("gmw/en+", "no variant ''"),
        ("", "no voice ''"),
        ("../lang/gmw/en", "no voice"),
    ],
)
def test_unknown_voice(voice, reason):
    """A voice that is not there is an error that names the nearest, never another voice."""
    with pytest.raises(SpeechError, match=reason):
        Speaker(None).speak(utterance(engine_voice=voice))


def test_text_that_the_voice_passes_over():
    """A sign that the voice has no word for is an error, never silence."""
    with pytest.raises(SpeechError, match="passes over it in silence"):
        Speaker(None).speak(utterance("♫"))


def test_a_voice_that_hangs():
    """A voice that takes longer than the limit is ended, and its process is gone."""
    with pytest.raises(SpeechError, match=r"longer than 0\.2 s"):
        speaker_with(lambda _: time.sleep(60), time_limit_s=0.2).speak(utterance())
    assert active_children() == []


@pytest.mark.parametrize(
    ("death", "code"),
    [(lambda _: os._exit(7), 7), (lambda _: os.kill(os.getpid(), signal.SIGKILL), -9)],
    ids=["ends itself", "is killed"],
)
def test_a_voice_that_dies(death, code):
    """A voice whose process dies is an error with its exit code; the speaker lives on."""
    with pytest.raises(SpeechError, match=rf"died \(exit code {code}\)"):
        speaker_with(death).speak(utterance())


def test_the_engines_own_reason_is_told():
    """What the engine says in the child reaches the caller, with the text."""

    def refuse(spoken):
        raise SpeechError("elsewhere", "it is hoarse.")

    with pytest.raises(SpeechError, match=r"could not speak 'The lamp is lit.': it is hoarse."):
        speaker_with(refuse).speak(utterance())


TEXT = "Set the gate to the first group, then the second, and wait for the tide."


@pytest.mark.parametrize(
    ("wrong", "reason"),
    [
        (lambda whole: whole[: len(whole) // 8], "should take"),
        (lambda whole: np.tile(whole, 60), "should take"),
        (lambda whole: whole[:0], "in silence"),
        (lambda whole: np.zeros_like(whole), "in silence"),
    ],
    ids=["cut off", "far too long", "empty", "all zeros"],
)
def test_speech_that_cannot_be_right(wrong, reason):
    """Speech that cannot be the whole text, and nothing but it, is an error."""

    def say(spoken):
        whole = Espeak().say(spoken)
        return DrySpeech(wrong(whole.pcm), whole.rate_hz)

    with pytest.raises(SpeechError, match=reason):
        speaker_with(say).speak(utterance(TEXT))


def test_words_that_the_engine_loses():
    """espeak keeps 128 bytes of a word and loses the rest; if it ever does, it is an error."""
    with pytest.raises(SpeechError, match="should take"):
        Speaker(None).speak(utterance("a" * 500))


@pytest.mark.parametrize(
    "text", ["Привет", "你好", "👨\u200d👩\u200d👧 😀", "naïve café £12.50", "a" * 500]
)
def test_unusual_text_is_spoken(text):
    """Other scripts, emoji and endless words come out as sound of a plausible length."""
    cleaned = utterance_of(text, VoiceProfile(about="a keeper"))
    assert len(Speaker(None).speak(cleaned)) > 0
