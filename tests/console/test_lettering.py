"""Large lettering and the pages that it is set on."""

import string

import pytest
from hypothesis import given
from hypothesis import strategies as st

from broadcaster.console.lettering import ROWS, can_be_set, columns_of, rows_of, set_large
from broadcaster.console.paging import page_at, pages, word_at


def test_a_word():
    """Letters stand side by side with a gap of one, three rows high."""
    assert set_large("HI 0") == (
        "█ █ ▀█▀    █▀█",
        "█▀█  █     █ █",
        "▀ ▀ ▀▀▀    ▀▀▀",
    )


def test_all_that_scripts_use_can_be_set():
    """Letters, figures and the marks of running text have a large form."""
    assert can_be_set(string.ascii_letters + string.digits + " .,:;!?'\"-+=/()<>#&%*")


def test_accents_and_printers_quotes():
    """Accented letters are set without the accent, curled quotes as straight ones."""
    assert set_large("É“ü…") == set_large('E"U.')


def test_other_writing_cannot_be_set():
    """What has no large form is refused beforehand."""
    assert not can_be_set("Маяк")


@pytest.mark.parametrize("scale", [1, 2, 3])
def test_size(scale):
    """The rows and columns told are those that are set."""
    rows = set_large("Heron 2714, <AR>", scale)
    assert len(rows) == rows_of(scale) == ROWS * scale
    assert {len(row) for row in rows} == {columns_of("Heron 2714, <AR>", scale)}


def test_no_two_letters_look_alike():
    """Every letter and figure has a shape of its own."""
    letters = string.ascii_uppercase + string.digits
    assert len({set_large(letter) for letter in letters}) == len(letters)


WORDS = st.lists(st.text("abcM. ", min_size=1).map(lambda t: t.replace(" ", "") or "a"), min_size=1)


@given(WORDS, st.integers(1, 40), st.integers(1, 3))
def test_pages_hold_the_whole_text_in_order(words, columns, lines):
    """Nothing is lost, and every page knows where it begins."""
    text = " ".join(words)
    shown = pages(text, columns, lines, len)
    for page in shown:
        rest = text[page.start :]
        for line in page.lines:
            rest = rest.lstrip(" ")
            assert rest.startswith(line)
            rest = rest[len(line) :]
    joined = "".join(line for page in shown for line in page.lines)
    assert joined.replace(" ", "") == text.replace(" ", "")


@given(WORDS, st.integers(1, 40), st.integers(1, 3))
def test_no_line_is_too_long(words, columns, lines):
    """Lines fit their columns, and pages their lines."""
    for page in pages(" ".join(words), columns, lines, len):
        assert len(page.lines) <= lines
        assert all(len(line) <= columns for line in page.lines)


def test_page_at():
    """The page that holds a letter is the last that begins before it."""
    shown = pages("one two three four", 9, 1, len)
    assert [page.lines for page in shown] == [("one two",), ("three",), ("four",)]
    assert [page_at(shown, offset) for offset in (0, 6, 8, 17)] == [0, 0, 1, 2]


@pytest.mark.parametrize(("progress", "word"), [(0.0, "one"), (0.5, "two"), (1.0, "three")])
def test_word_at(progress, word):
    """The word on air is reckoned by time."""
    assert "one two three"[word_at("one two three", progress) :].split()[0] == word


def test_word_at_of_no_text():
    """An item without a text begins and ends at nought."""
    assert word_at("", 0.5) == 0
