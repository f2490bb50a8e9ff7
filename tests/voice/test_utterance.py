"""Utterances: what is spoken is clean, and there is something to say."""

import pytest

from broadcaster.errors import SpeechError
from broadcaster.script.profiles import VoiceProfile
from broadcaster.voice.utterance import Utterance, clean, utterance_of

PROFILE = VoiceProfile(
    about="a keeper", engine_voice="gmw/en+m3", rate=140, pitch=38, pitch_range=40
)

CLEANED = [
    # text, what is left of it, why
    ("The  lamp\n is\tlit. ", "The lamp is lit.", "white space is one space"),
    ("\x0180SThe lamp", "80SThe lamp", "espeak takes \\x01 for the start of a command"),
    ("The lamp\0is lit", "The lamp is lit", "espeak takes NUL for the end of the text"),
    ("The \ud800lamp", "The lamp", "a lone surrogate is no text"),
    ("lamp\u00adlight", "lamplight", "a soft hyphen is invisible"),
    ("\ufeffThe\u202e lamp", "The lamp", "marks of byte order and direction are invisible"),
    ("\ue001lamp\uffff", "lamp", "private and unassigned characters mean nothing"),
    ("e\u0301te\u0301", "été", "accents are composed"),
    ("Gate ④ or \uff13 or \U0001d7d9", "Gate 4 or 3 or 1", "espeak skips figures in fancy dress"),
    ("George Ⅵ", "George VI", "espeak spells out the code point"),
    ("10²", "10²", "ten squared is not a hundred and two"),
    ("👨\u200d👩\u200d👧", "👨\u200d👩\u200d👧", "joiners make one emoji of three"),
    ("Привет", "Привет", "other scripts stay"),
    ("7" * 90, " ".join(["7" * 40, "7" * 40, "7" * 10]), "espeak loses the end of a long word"),
    ("X X X X, ha", "X, X, X, X, ha", "espeak says one character three times at most"),
    ("X X X", "X X X", "three times are said"),
]


@pytest.mark.parametrize(("text", "left", "why"), CLEANED, ids=[why for *_, why in CLEANED])
def test_what_cleaning_leaves(text, left, why):
    """Cleaning takes away what harms an engine or is passed over by it, and nothing else."""
    assert clean(text) == left


@pytest.mark.parametrize(("text", "left", "why"), CLEANED, ids=[why for *_, why in CLEANED])
def test_clean_text_stays(text, left, why):
    """Cleaning what is clean changes nothing."""
    assert clean(left) == left


@pytest.mark.parametrize("text", ["", "   ", "\n", ".", "...", "—", "?!", "\0", "\x01", "\u00ad"])
def test_nothing_to_say(text):
    """A text without letter, figure or sign is an error, never silence."""
    with pytest.raises(SpeechError, match="no letter, figure or sign"):
        utterance_of(text, PROFILE)


@pytest.mark.parametrize("text", ["a", "7", "%", "&", "£", "+", "½", "😀", "Я"])
def test_one_sign_is_enough(text):
    """One letter, figure or sign can be said."""
    assert utterance_of(text, PROFILE).text == text


def test_utterance_takes_all_from_the_profile():
    """The key holds the voice and its settings."""
    expected = Utterance("The lamp is lit.", "espeak", "gmw/en+m3", 140, 38, 40)
    assert utterance_of("The lamp is lit.", PROFILE) == expected


def test_rate_overrides_the_profile():
    """An item's own rate wins."""
    assert utterance_of("The lamp is lit.", PROFILE, rate=200).rate == 200
