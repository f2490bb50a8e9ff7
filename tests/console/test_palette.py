"""The colours: every pair is readable, in both lights, in theory and on the screen."""

import asyncio

import pytest

from broadcaster.console.app import Console
from broadcaster.console.board import Board
from broadcaster.console.palette import DAY, NIGHT
from broadcaster.story.events import Trouble
from tests.console.contrast import LEAST, contrast, drawn_pairs
from tests.console.scene import at, clock, lively, on_air, output, programme


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
        (on_air("a clue"), ("ctrl+q",)),
        ([*lively(), Trouble(at(738), "It failed."), output(739, playing=False)], ("down",)),
    ],
)
def test_every_letter_on_the_screen_is_readable(events, keys):
    """What a session by keys does not come to: no letter is drawn under 4.5:1 on its ground."""
    for letters, ground in asyncio.run(drawn(events, keys)):
        assert contrast(letters, ground) >= LEAST


async def drawn(events, keys) -> set[tuple[str, str]]:
    """What the console draws after these events and keys, by night and by day."""
    told = [list(events)]
    console = Console(
        Board(programme(), clock()),
        lambda event: None,
        lambda: told.pop() if told else [],
        clock(),
    )
    pairs: set[tuple[str, str]] = set()
    async with console.run_test(size=(120, 40)) as pilot:
        console.refresh_panels()
        await pilot.press(*keys)
        for console.palette in (NIGHT, DAY):
            console.refresh_panels()
            pairs |= drawn_pairs(console)
    return pairs
