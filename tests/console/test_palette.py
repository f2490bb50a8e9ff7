"""The colours: every pair is readable, in both lights, in theory and on the screen."""

import asyncio

import pytest
from rich.segment import Segment
from rich.style import Style

from broadcaster.console.app import Console
from broadcaster.console.board import Board
from broadcaster.console.palette import DAY, NIGHT
from broadcaster.story.events import Trouble
from tests.console.scene import at, clock, lively, on_air, opened, output, programme

LEAST = 4.5
"""WCAG 2.2, SC 1.4.3 (level AA), for text of any size."""


def luminance(colour: str) -> float:
    """Relative luminance of #rrggbb, as WCAG 2.2 defines it."""
    parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
    red, green, blue = (
        part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in parts
    )
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two colours, from 1 to 21, as WCAG 2.2 defines it."""
    light, dark = sorted((luminance(one), luminance(other)), reverse=True)
    return (light + 0.05) / (dark + 0.05)


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#ffffff", "#000000", 21.0),
        ("#ffffff", "#ffffff", 1.0),
        ("#777777", "#ffffff", 4.48),  # the best known grey that just fails
        ("#767676", "#ffffff", 4.54),  # and its neighbour that just passes
    ],
)
def test_the_measure_itself(one, other, ratio):
    """The formula gives the ratios that are commonly published for these pairs."""
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)


@pytest.mark.parametrize("palette", [NIGHT, DAY], ids=["night", "day"])
def test_every_ink_is_readable_on_its_ground(palette):
    """Each pair of the palette reaches 4.5:1."""
    ratios = {role: contrast(i.letters, i.ground) for role, i in palette.inks().items()}
    assert {role: ratio for role, ratio in ratios.items() if ratio < LEAST} == {}


@pytest.mark.parametrize(
    ("events", "keys"),
    [
        ([], ()),
        ([opened()], ("q",)),
        (on_air("a clue"), ("ctrl+n",)),
        (on_air("a clue"), ("ctrl+q",)),
        ([*lively(), output(741, underruns=2)], ("tab",)),
        ([*lively(), Trouble(at(738), "It failed."), output(739, playing=False)], ("down",)),
    ],
)
def test_every_letter_on_the_screen_is_readable(events, keys):
    """Whatever is asked, said or chosen: no letter is drawn under 4.5:1 on its ground."""
    for segment in asyncio.run(drawn(events, keys)):
        if segment.text.strip():
            letters, ground = colours(segment.style)
            assert contrast(letters, ground) >= LEAST, segment.text


async def drawn(events, keys) -> list[Segment]:
    """What the console draws after these events and keys, by night and by day."""
    told = [list(events)]
    console = Console(
        Board(programme(), clock()),
        lambda event: None,
        lambda: told.pop() if told else [],
        clock(),
    )
    segments: list[Segment] = []
    async with console.run_test(size=(120, 40)) as pilot:
        console.refresh_panels()
        await pilot.press(*keys)
        for console.palette in (NIGHT, DAY):
            console.refresh_panels()
            for panel in console.panels:
                for y in range(panel.size.height):
                    segments += panel.render_line(y)
    return segments


def colours(style: Style | None) -> tuple[str, str]:
    """Letters and ground of a style; every run of letters names both."""
    assert style is not None
    assert style.color is not None
    assert style.bgcolor is not None
    assert not style.dim
    assert not style.blink
    return style.color.name, style.bgcolor.name
