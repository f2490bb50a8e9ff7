"""Morse code after Rec. ITU-R M.1677-1, Annex 1, Part I, and notes after ISO 16."""

import pytest

from broadcaster.errors import UnreadableError
from broadcaster.script.alphabets import MORSE, PROSIGNS, morse_symbols, note_hertz


def units(code):
    """Length in dots, the gaps inside the character counted (M.1677-1, 2.1 and 2.2)."""
    return sum(3 if mark == "-" else 1 for mark in code) + len(code) - 1


def codes(text):
    """Codes with a space between characters and a bar between words."""
    return " / ".join(" ".join(symbol.code for symbol in word) for word in morse_symbols(text))


def test_the_alphabet_has_the_51_characters_of_the_recommendation():
    """26 letters and the accented e, 10 figures, 14 punctuation marks (M.1677-1, 1.1)."""
    assert len(MORSE) == 51
    assert sum(character.isalpha() for character in MORSE) == 27
    assert sum(character.isdecimal() for character in MORSE) == 10


def test_lengths_add_up():
    """A to Z are 214 units long together, the figures 140 (computed from the published table)."""
    assert sum(units(MORSE[letter]) for letter in "ABCDEFGHIJKLMNOPQRSTUVWXYZ") == 214
    assert sum(units(MORSE[figure]) for figure in "0123456789") == 140


def test_every_code_is_unique_but_for_the_multiplication_sign():
    """The multiplication sign is the letter X (M.1677-1, 3); no other two are alike."""
    assert MORSE["×"] == MORSE["X"]
    without = [code for character, code in MORSE.items() if character != "×"]
    assert len(without) == len(set(without))


@pytest.mark.parametrize(
    ("names", "code"),
    [
        ("SN VE", "...-."),
        ("ERR HH", "........"),
        ("K", "-.-"),
        ("AS", ".-..."),
        ("SK VA", "...-.-"),
        ("KA CT", "-.-.-"),
        ("AR", ".-.-."),
    ],
)
def test_signals_have_their_published_codes(names, code):
    """The procedure signals of M.1677-1, 1.1.3, under each of their usual names."""
    assert {PROSIGNS[name].code for name in names.split()} == {code}


def test_a_message_is_words_of_symbols():
    """White space of any kind and length parts words; a signal is one symbol."""
    assert codes(" Paris\t <ar>\n é ") == ".--. .- .-. .. ... / .-.-. / ..-.."
    assert [s.written for s in morse_symbols("a<sk>b")[0]] == ["A", "<SK>", "B"]


def test_per_cent_and_per_thousand_are_fractions_joined_by_a_hyphen():
    """`%` is sent as 0/0 and `‰` as 0/00, after a number with a hyphen (M.1677-1, 3)."""
    assert codes("2%") == codes("2-0/0")
    assert codes("15‰") == codes("15-0/00")
    assert codes("%") == codes("0/0")


@pytest.mark.parametrize(
    ("text", "offset", "found"),
    [
        ("REED!", 4, "`!`"),
        ("A $", 2, "`$`"),
        ("tide <XX>", 5, "`<XX>`"),
        ("a <AR", 2, "`<`"),
        ("straße", 4, "`ß`"),
        ("a\x07", 1, "U+0007"),
        ("   ", 0, "nothing to send"),
    ],
)
def test_what_morse_does_not_have_is_refused_with_its_offset(text, offset, found):
    """The first unknown character is named, with where it stands and what is allowed."""
    with pytest.raises(UnreadableError) as refused:
        morse_symbols(text)
    assert found in refused.value.message
    assert refused.value.offset == offset
    assert "<AR>" in refused.value.mend


@pytest.mark.parametrize(
    ("name", "hertz"),
    [
        ("C2", 65.406),
        ("G#2", 103.826),
        ("Bb3", 233.082),
        ("C4", 261.626),
        ("A4", 440.0),
        ("C#5", 554.365),
        ("Db5", 554.365),
        ("F#6", 1479.978),
        ("B7", 3951.066),
    ],
)
def test_notes_are_equally_tempered(name, hertz):
    """f = 440 x 2^((n - 69)/12), A4 = 440 Hz (ISO 16:1975), within 0.005 Hz."""
    assert note_hertz(name) == pytest.approx(hertz, abs=0.0006)


@pytest.mark.parametrize("name", ["g4", "H4", "G", "G1", "G8", "G##4", "rest", "", "4G", "G4 "])
def test_other_notes_are_refused(name):
    """A letter A to G, one accidental at most, octave 2 to 7."""
    with pytest.raises(UnreadableError, match="no note"):
        note_hertz(name)
