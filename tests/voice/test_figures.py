"""Figures and letters are said as the services' tables have it."""

import ctypes

import pytest

from broadcaster.errors import SpeechError
from broadcaster.script.shelves import shipped_voices
from broadcaster.voice import espeak
from broadcaster.voice.figures import AERONAUTICAL, ALPHABET, PLAIN, figures_said, spelled
from broadcaster.voice.other_languages import SPELLINGS

# ICAO Annex 10 Vol II, 5.2.1.4.3.
ICAO_FIGURES = (
    "0 ZE-RO, 1 WUN, 2 TOO, 3 TREE, 4 FOW-er, 5 FIFE, 6 SIX, 7 SEV-en, 8 AIT, 9 NIN-er, "
    ". DAY-SEE-MAL"
)
# ICAO Annex 10 Vol II, Figure 5-1; mind Alfa, Juliett and X-ray.
ICAO_WORDS = (
    "Alfa Bravo Charlie Delta Echo Foxtrot Golf Hotel India Juliett Kilo Lima Mike November "
    "Oscar Papa Quebec Romeo Sierra Tango Uniform Victor Whiskey X-ray Yankee Zulu"
)
PHONEMES = {
    # spelling given to the voice: what the voice makes of it, in the IPA
    "ze-ro": "zˈiːɹˈəʊ",
    "wun": "wˈʌn",
    "too": "tˈuː",
    "tree": "tɹˈiː",
    "fower": "fˈaʊə",
    "fife": "fˈaɪf",
    "six": "sˈɪks",
    "seven": "sˈɛvən",
    "ait": "ˈeɪt",
    "niner": "nˈaɪnə",
    "day-see-mal": "dˈeɪsˈiːmˈal",
    "kebeck": "kˈɛbɛk",
    "X-ray": "ˈɛksɹˈeɪ",
    "Juliett": "dʒˌuːlɪˈɛt",
}


def test_figures_as_in_aviation():
    """The pronunciations are those of the annex."""
    said = ", ".join(f"{figure} {word.said}" for figure, word in AERONAUTICAL.items())
    assert said == ICAO_FIGURES


def test_spelling_alphabet():
    """The words are those of the annex, each for its first letter."""
    assert " ".join(word.written for word in ALPHABET.values()) == ICAO_WORDS
    assert all(word.written[0] == letter for letter, word in ALPHABET.items())
    assert len(ALPHABET) == 26


def test_plain_figures():
    """Plain figures are said as usual."""
    said = " ".join(PLAIN[figure].spelling for figure in "0123456789")
    assert said == "zero one two three four five six seven eight nine"


def phonemes(text, voice="gmw/en"):
    """What one of the bundled engine's voices makes of a text, in the IPA."""
    binding, _ = espeak._library()
    binding.SetVoiceByName(voice.encode())
    translate = binding.dll.espeak_TextToPhonemes
    translate.argtypes = [ctypes.POINTER(ctypes.c_char_p), ctypes.c_int, ctypes.c_int]
    translate.restype = ctypes.c_char_p
    return translate(ctypes.byref(ctypes.c_char_p(text.encode())), 1, 2).decode()


@pytest.mark.parametrize(("spelling", "sounds"), PHONEMES.items())
def test_spellings_make_the_voice_say_it(spelling, sounds):
    """The spelling that a voice is given sounds as the annex writes it."""
    assert phonemes(spelling) == sounds


@pytest.mark.parametrize("language", SPELLINGS)
def test_other_languages_have_their_own_words(language):
    """Each figure and letter has a word of its own, and the voice says it in its language."""
    words = SPELLINGS[language]
    assert set(words) == set("0123456789.ABCDEFGHIJKLMNOPQRSTUVWXYZ")
    assert len(set(words.values())) == len(words)
    (profile,) = (each for each in shipped_voices().values() if each.language == language)
    voice = profile.engine_voice.split("+")[0]
    assert not [word for word in words.values() if "(" in phonemes(word, voice)]


@pytest.mark.parametrize(
    ("language", "said"),
    [
        ("de", (("zwo", "null"), ("Anton",))),
        ("fr", (("deux", "zéro"), ("Anatole",))),
        ("es", (("dos", "cero"), ("Antonio",))),
    ],
)
@pytest.mark.parametrize("mode", ["plain", "aeronautical"])
def test_an_items_language_picks_figures_and_alphabet(language, said, mode):
    """Aviation's ways with figures are for English."""
    assert spelled("20 a", mode, language) == said


def test_groups_become_code_words():
    """Each figure and letter has its word, in small letters too."""
    assert figures_said("19.Aq", "aeronautical") == (
        "wun",
        "niner",
        "day-see-mal",
        "Alfa",
        "kebeck",
    )


def test_words_stay_apart():
    """White space, commas and hyphens part groups."""
    assert spelled(" 41-0,\n7 ", "plain") == (("four", "one"), ("zero",), ("seven",))


@pytest.mark.parametrize("text", ["4?1", "é", "4²", "{x}"])
def test_what_cannot_be_read_singly(text):
    """Any other character is an error that names it and what is allowed."""
    with pytest.raises(SpeechError, match="cannot be read singly; the figures, the letters A to Z"):
        spelled(text, "plain")


@pytest.mark.parametrize("text", ["", "  ", "-", ", ,"])
def test_nothing_to_read(text):
    """No letter and no figure is an error, never silence."""
    with pytest.raises(SpeechError, match="no letter or figure"):
        spelled(text, "plain")
