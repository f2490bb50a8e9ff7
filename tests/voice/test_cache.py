"""The cache of speech: losing it, or any part of it, changes nothing."""

import wave
from dataclasses import replace

import numpy as np
import pytest

from broadcaster.voice.cache import SpeechCache
from broadcaster.voice.engine import DrySpeech
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import Utterance

KEY = Utterance("The lamp is lit.", "espeak", "gmw/en", 150, 50, 50)
DRY = DrySpeech(np.arange(-5000, 5000, dtype=np.int16), 22_050)


@pytest.fixture
def kept(tmp_path):
    """A cache with one utterance in it, and its file."""
    cache = SpeechCache(tmp_path / "speech")
    cache.put(KEY, "1", DRY)
    (file,) = (tmp_path / "speech").iterdir()
    return cache, file


def test_cold_and_warm_are_the_same(tmp_path):
    """Without a cache, with an empty one and with a full one: the same samples, bit for bit."""
    without = Speaker(None).speak(KEY)
    cold = Speaker(SpeechCache(tmp_path)).speak(KEY)
    warm = Speaker(SpeechCache(tmp_path), engines={"espeak": Mute()}).speak(KEY)
    assert np.array_equal(cold, without)
    assert np.array_equal(warm, without)


class Mute:
    """An engine that must not be asked to speak."""

    needs_fresh_process = False

    def version(self, voice):
        """The bundled engine's."""
        return "espeak-ng 1.52.0"

    def say(self, utterance):
        """The cache should have had it."""
        raise AssertionError(utterance)


def test_what_was_put_is_got(kept):
    """Samples and rate come back as they were."""
    cache, _ = kept
    dry = cache.get(KEY, "1")
    assert np.array_equal(dry.pcm, DRY.pcm)
    assert (dry.pcm.dtype, dry.rate_hz) == (np.int16, 22_050)


def test_the_file_is_a_sound_file(kept):
    """Anyone can play it: a WAV file, 16 bits, mono, whose sizes add up, named by its words."""
    _, file = kept
    with wave.open(str(file)) as reader:
        assert reader.getparams()[:4] == (1, 2, 22_050, len(DRY.pcm))
    assert int.from_bytes(file.read_bytes()[4:8], "little") == file.stat().st_size - 8
    assert file.name.startswith("the-lamp-is-lit-")


@pytest.mark.parametrize(
    "change",
    [
        {"text": "The lamp is lit!"},
        {"engine": "system"},
        {"engine_voice": "gmw/en+m3"},
        {"rate": 151},
        {"pitch": 51},
        {"pitch_range": 51},
    ],
    ids=str,
)
def test_every_part_of_the_key_counts(kept, change):
    """An utterance that differs in anything is another one."""
    cache, _ = kept
    assert cache.get(replace(KEY, **change), "1") is None


def test_another_version_of_the_engine_is_another_voice(kept):
    """Speech of an older engine is not used."""
    cache, _ = kept
    assert cache.get(KEY, "2") is None


@pytest.mark.parametrize(
    "damage",
    [
        lambda content: b"",
        lambda content: content[:20],
        lambda content: content[: len(content) // 2],
        lambda content: content[:-1],
        lambda content: content[:1000] + bytes([content[1000] ^ 1]) + content[1001:],
        lambda content: content[:24] + b"\x01" + content[25:],
        lambda content: bytes(len(content)),
        lambda content: b"not a sound file" * 100,
    ],
    ids=["empty", "header cut", "half", "one byte short", "one bit", "rate", "zeros", "text"],
)
def test_damage_is_noticed_and_mended(kept, damage):
    """A damaged or half file counts as absent, and the next put makes it whole."""
    cache, file = kept
    whole = file.read_bytes()
    file.write_bytes(damage(whole))
    assert cache.get(KEY, "1") is None
    cache.put(KEY, "1", DRY)
    assert file.read_bytes() == whole


def test_nothing_half_written_stays(kept, monkeypatch):
    """If the file cannot be put in its place, no part of it is left, and it is told once."""
    cache, file = kept
    file.unlink()

    def refuse(*_):
        raise OSError(28, "No space left on device")

    monkeypatch.setattr("os.replace", refuse)
    cache.put(KEY, "1", DRY)
    assert list(file.parent.iterdir()) == []
    assert "No space left on device" in cache.trouble


def test_a_folder_that_cannot_be_written(tmp_path):
    """Where no file can be kept the voice speaks all the same, and the cache says so."""
    (tmp_path / "speech").write_text("a file where the folder should be")
    cache = SpeechCache(tmp_path / "speech")
    assert np.array_equal(Speaker(cache).speak(KEY), Speaker(None).speak(KEY))
    assert "cannot be kept" in cache.trouble
    assert str(tmp_path / "speech") in cache.trouble


def test_no_trouble_no_words(kept):
    """A cache that works has nothing to say."""
    cache, _ = kept
    assert cache.trouble is None
