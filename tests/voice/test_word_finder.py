"""When words begin: as espeak tells it, and found again in an item."""

import numpy as np

from broadcaster.script.profiles import VoiceProfile
from broadcaster.units import RATE, Samples
from broadcaster.voice.engine import DrySpeech
from broadcaster.voice.reading import read_groups, read_text
from broadcaster.voice.speaker import Speaker
from broadcaster.voice.utterance import Utterance
from broadcaster.voice.word_finder import WordFinder

VOICE = VoiceProfile(about="a test's voice", sentence_gap="500 ms", pause="1 s", group_gap="2 s")
DRY_HZ = 24_000


class Dictated(Speaker):
    """Half a second for each word of an utterance; of some engines the words are not known."""

    def __init__(self, *, tells: bool = True) -> None:
        super().__init__(None)
        self._tells = tells

    def speak_dry(self, utterance: Utterance) -> DrySpeech:
        words = utterance.text.split()
        half = DRY_HZ // 2
        pcm = np.tile(np.arange(1, half + 1, dtype=np.int16), len(words))
        times = tuple((place * half, word) for place, word in enumerate(words))
        return DrySpeech(pcm, DRY_HZ, times if self._tells else ())


def seconds(finder: WordFinder, item: Samples) -> list[tuple[float, str]]:
    return [(round(at / RATE, 3), word) for at, word in finder.words_in(item)]


def test_words_are_found_behind_the_pauses_between_sentences() -> None:
    """Two words of half a second, half a second of silence, two words more."""
    finder = WordFinder(Dictated())
    item = read_text("Heron calling. All keepers.", VOICE, None, finder)
    assert seconds(finder, item) == [
        (0.0, "Heron"),
        (0.5, "calling."),
        (1.5, "All"),
        (2.0, "keepers."),
    ]


def test_figures_are_words_of_their_own() -> None:
    """Each as it is said, behind the gap before it, whatever the item's level."""
    finder = WordFinder(Dictated())
    item = read_groups(
        "41 2", VOICE, figures=None, gap=1.0, group_gap=None, rate=None, speaker=finder
    )
    found = seconds(finder, item * np.float32(0.1))
    assert [at for at, _ in found] == [0.0, 1.5, 4.0]
    assert [word for _, word in found] == ["four", "one", "two"]


def test_an_engine_that_tells_no_words_has_none() -> None:
    """And the item is what it was."""
    finder = WordFinder(Dictated(tells=False))
    item = read_text("Heron calling.", VOICE, None, finder)
    assert finder.words_in(item) == ()
    assert len(item) == 2 * RATE


def test_espeak_tells_when_it_begins_a_word() -> None:
    """Each word once, figures too: where a comma stands, the next word begins behind silence."""
    speaker = Speaker(None, start_method="spawn")
    dry = speaker.speak_dry(Utterance("Käpten, gate 2105.", "espeak", "gmw/en", 150, 50, 50))
    assert [word for _, word in dry.words] == ["Käpten", "gate", "2105"]
    first, second, third = (at for at, _ in dry.words)
    assert first == 0
    assert second < third < dry.pcm.size
    ten_ms = dry.rate_hz // 100
    assert np.abs(dry.pcm[second - 3 * ten_ms : second - ten_ms]).max() < 200, "the comma's pause"
    assert np.abs(dry.pcm[second : second + 10 * ten_ms]).max() > 2_000
