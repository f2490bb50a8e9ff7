"""The phrase dictionary: whole words, capitals or not, the longest first."""

import pytest

from broadcaster.script.phrases import respelled

PHRASES = {"Shingle": "shing gull", "the Shingle": "the shinnle", "St.": "saint", "Évi": "Ay vee"}


@pytest.mark.parametrize(
    ("text", "spoken"),
    [
        ("Row to SHINGLE, now.", "Row to shing gull, now."),
        ("Off the \n Shingle!", "Off the shinnle!"),
        ("Shingles and unshingled", "Shingles and unshingled"),
        ("St. Osyth, first.", "saint Osyth, first."),
        ("E\u0301vi's lamp", "Ay vee's lamp"),
        ("nothing of that", "nothing of that"),
    ],
)
def test_phrases_are_respelled(text, spoken):
    """Whole words alone, over any white space, accents composed or not, the longest first."""
    assert respelled(text, PHRASES) == spoken


def test_what_results_stays():
    """A spelling is not looked for again, nor read as a pattern."""
    assert respelled("a b", {"a": "b", "b": r"\1 a"}) == r"b \1 a"


def test_without_phrases_a_text_is_what_it_was():
    """An empty dictionary changes nothing, not even how accents are written."""
    assert respelled("cafe\u0301  ", {}) == "cafe\u0301  "
