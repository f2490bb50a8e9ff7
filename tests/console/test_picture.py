"""The picture of the screen, made by the program itself."""

from functools import cache
from xml.etree import ElementTree

from broadcaster.console.picture import console_picture
from tests.console.scene import clock, lively, programme

SVG = "{http://www.w3.org/2000/svg}"


@cache
def draw(**options) -> str:
    """The picture of a lively moment; each is drawn once."""
    return console_picture(programme(), lively(), clock(), **options)


def test_a_picture_is_a_whole_svg_with_the_screens_words():
    """The document is well formed and holds what the screen says."""
    root = ElementTree.fromstring(draw())
    words = " ".join(text.text or "" for text in root.iter(f"{SVG}text"))
    assert root.tag == f"{SVG}svg"
    for word in ("91.3 MHz", "● ON AIR", "SEGMENTS", "Heron calling the light."):
        assert word in words


def test_a_picture_needs_nothing_from_elsewhere():
    """No font, style or image is fetched: the picture stands alone."""
    assert "http" not in draw().replace("http://www.w3.org/2000/svg", "")


def test_the_same_moment_is_the_same_picture():
    """Two pictures of one moment are equal, byte for byte."""
    assert draw.__wrapped__() == draw()


def test_keys_and_light():
    """A picture can be taken by day, and after keys were pressed."""
    assert "#15332f" in draw(daylight=True)
    assert "Take the station off air?" in draw(keys=("ctrl+q",))
