"""Comments that a writer may have meant as words."""

import pytest

from broadcaster.script.loading import examine

SCRIPT = """\
programme: Low Water
station: {callsign: Heron, frequency: 91.3 MHz, voice: keeper}
opening: watch
segments:
  watch:
    exits: [{to: end}]
    play:
"""


@pytest.fixture
def told(tmp_path):
    """The advice for a small script with something in its running order, by column and text."""

    def tell(written):
        script = tmp_path / "show.yaml"
        script.write_text(SCRIPT + written, encoding="utf-8")
        examination = examine(script)
        assert examination.faults == ()
        return [str(advice).split(":", 2)[2] for advice in examination.advice]

    return tell


@pytest.mark.parametrize(
    ("written", "column"),
    [
        ("      - say: It is no #1 place\n", 23),
        ("      - say: It is\n          no #1 place\n", 14),
        ("      - spell: HERON #7\n", 22),
        ("      - morse: REED #7\n", 21),
        ("      - groups: 41972 #08310\n", 23),
        ("      - interval signal: G4 #C5\n", 29),
        ("      - pips: 6\n        clue: Hut #7\n", 19),
        ("      - choose:\n          - pause: 1 s\n          - say: Hut #7\n", 22),
        ("      - pause: 1 s\n    hints:\n      - say: Hut #seven\n", 18),
    ],
)
def test_a_comment_as_close_as_a_word_is_told(told, written, column):
    """Text behind ` #` does not go out, which a writer may not know."""
    assert told(written) == [
        f"{column}: What stands behind ` #` is a comment, and is not sent. "
        "Put the text in quotes if it belongs to it."
    ]


@pytest.mark.parametrize("comment", ["  #one", " # one", "  # one", " #", " # 1"])
def test_a_comment_set_apart_is_a_comment(told, comment):
    """Two spaces before the `#`, or one behind it, and it is meant."""
    assert told(f"      - say: Heron calling{comment}\n") == []


@pytest.mark.parametrize("text", ["'Heron #1'", '"Heron #1"', "Heron#1", "|\n          No #1"])
def test_a_number_sign_in_quotes_or_within_a_word_is_text(told, text):
    """Only ` #` in a text without quotes begins a comment."""
    assert told(f"      - say: {text}\n") == []


def test_a_comment_beside_an_option_is_a_comment(told):
    """Only what is heard or shown can lose words."""
    assert told("      - pause: 1 s #short\n") == []
