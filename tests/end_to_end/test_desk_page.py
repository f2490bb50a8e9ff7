"""The desk page in a real browser, against a station on air."""

import os
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.services import needs

pytestmark = needs("chromium")

axe_playwright = pytest.importorskip("axe_playwright_python.sync_playwright")
pytest.importorskip("playwright.sync_api")

from playwright.sync_api import Browser, Locator, Page, expect  # noqa: E402

from tests.end_to_end.desk_page import (  # noqa: E402
    DESKTOP,
    PHONE,
    chromium,
    desk,
    opened,
    pictures,
)
from tests.end_to_end.run import Home  # noqa: E402

expect.set_options(timeout=30_000)

LEAST_TARGET = 44
"""CSS pixels (WCAG 2.2, 2.5.5)."""
SCREENS = (
    ("phone by day", PHONE, "light"),
    ("phone by night", PHONE, "dark"),
    ("desktop by day", DESKTOP, "light"),
    ("desktop by night", DESKTOP, "dark"),
)
TOKEN = "a token of many letters"


@pytest.fixture(scope="module")
def browser() -> Iterator[Browser]:
    """One browser for all tests; each opens a window of its own."""
    with chromium() as browser:
        yield browser


def button(page: Page, name: str) -> Locator:
    return page.get_by_role("button", name=name, exact=True)


def test_the_page_runs_a_session(home: Home, browser: Browser) -> None:
    """Start, fact, hint, announcement, jump, hold and end are obeyed, and seen on the page."""
    with desk(home) as url, opened(browser, url, PHONE) as (page, complaints):
        log, state = page.locator("#log"), page.locator("#state")
        button(page, "Begin a session").click()
        expect(state).to_have_text("Session on air")
        expect(page.locator("#air-part")).to_contain_text("watch")
        expect(page.locator("#next li").first).not_to_be_empty()

        button(page, "crates open: one more").click()
        expect(page.get_by_role("group", name="crates open")).to_contain_text("1")
        page.get_by_label("gate", exact=True).select_option("ajar")
        button(page, "Set gate").click()
        expect(log).to_contain_text("gate is ajar, by http, by hand.")

        button(page, "Give hint 1 of 2").click()
        expect(log).to_contain_text("Hint 1 of 2")
        page.get_by_label("What the station is to say").fill("Stay where you are.")
        button(page, "Say now").click()
        expect(page.locator("#air-part")).to_contain_text("announcement")
        expect(page.locator("#air-text")).to_have_text("Stay where you are.")

        page.get_by_label("Find a segment").fill("harbour")
        expect(page.locator("#segments button:visible")).to_have_count(1)
        page.get_by_label("now", exact=True).check()
        button(page, "stand easy").click()
        expect(button(page, "stand easy")).to_have_attribute("aria-current", "true")

        button(page, "Hold").click()
        expect(state).to_have_text("Session held")
        button(page, "Go on").click()
        expect(state).to_have_text("Session on air")
        button(page, "End").click()
        button(page, "Yes").click()
        expect(state).to_have_text("Stand by")
        assert not complaints


def test_the_keyboard_alone_is_enough(home: Home, browser: Browser) -> None:
    """Tab reaches a switch, Space turns it; the story follows, and the page says so politely.

    What is pressed is what the fact becomes, though its sensor is wired the other way round.
    """
    inverted = "facts: {lamp_lit: {inverted: yes}}\n"
    with desk(home, inverted) as url, opened(browser, url, DESKTOP) as (page, complaints):
        expect(page.locator("#state")).to_have_text("Stand by")
        button(page, "Begin a session").press("Enter")
        expect(page.locator("#state")).to_have_text("Session on air")
        lamp = page.get_by_role("switch", name="lamp lit")
        for _ in range(40):
            page.keyboard.press("Tab")
            if lamp.evaluate("it => it === document.activeElement"):
                break
        outline = lamp.evaluate("it => getComputedStyle(it).outlineStyle")
        assert outline == "solid"  # the focus is seen
        page.keyboard.press("Space")
        expect(lamp).to_have_attribute("aria-checked", "true")
        expect(page.get_by_role("status")).to_contain_text("Segment the lamp: exit: lamp_lit.")
        expect(page.locator("#air-part")).to_have_text("the lamp")
        assert lamp.evaluate("it => it === document.activeElement")  # the focus stays
        assert not complaints


def test_the_plain_voice_is_asked_about_first(home: Home, browser: Browser) -> None:
    """No leaves all as it was; Yes puts it on air, with a sign; so does Stop take it off."""
    with desk(home) as url, opened(browser, url, PHONE) as (page, complaints):
        wish = button(page, "Put the plain voice on air")
        wish.click()
        button(page, "No").click()
        wish.click()
        button(page, "Yes").click()
        expect(page.locator("#plain-sign")).to_have_text("PLAIN VOICE on air")
        assert page.locator("#log [data-event='plain voice started']").count() == 1
        button(page, "Stop the plain voice").click()
        button(page, "Yes").click()
        expect(page.locator("#plain-sign")).to_be_hidden()
        assert not complaints


def test_a_token_is_asked_for_once_and_kept_for_the_window(home: Home, browser: Browser) -> None:
    """A wrong one is told to be wrong; a right one outlives a reload, and is in no other window."""
    (home.folder / "token").write_text(TOKEN)
    with desk(home, "  token file: token\n") as url:
        with opened(browser, url, PHONE) as (page, _):
            expect(page.locator("#state")).to_have_text("Connecting to the station")
            assert page.locator("main").evaluate("it => it.inert")  # nothing can be pressed yet
            page.get_by_label("Token", exact=True).fill("another token altogether")
            button(page, "Enter").click()
            expect(page.get_by_role("heading", name="not the station’s token")).to_be_visible()
            page.get_by_label("Token", exact=True).fill(TOKEN)
            button(page, "Enter").click()
            expect(page.locator("#callsign")).to_have_text("Heron")
            page.reload()
            expect(page.locator("#state")).to_have_text("Stand by")
            assert not page.locator("main").evaluate("it => it.inert")
            assert not page.locator("#ask-token").is_visible()
        with opened(browser, url, PHONE) as (page, _):
            expect(page.get_by_label("Token", exact=True)).to_be_visible()


def test_axe_finds_nothing(home: Home, browser: Browser) -> None:
    """No violation by day or by night, on air and while it asks; nothing to press is too small."""
    seen = Path(os.environ.get("DESK_PICTURES", home.folder))
    axe = axe_playwright.Axe()
    with desk(home) as url:
        for name, size, scheme in SCREENS:
            with opened(browser, url, size, color_scheme=scheme) as (page, complaints):
                button(page, "Begin a session").click()
                expect(page.locator("#air-clue")).to_be_visible()
                page.get_by_label("after this round").check()
                button(page, "the lamp").click()
                expect(page.locator("#jump-waits")).to_be_visible()
                assert no_violations(axe, page)
                assert not too_small(page)
                assert not runs_over(page)
                pictures(seen, page, name)
                button(page, "Reset").click()
                assert no_violations(axe, page)
                pictures(seen, page, f"{name}-asking")
                button(page, "Yes").click()
                expect(page.locator("#state")).to_have_text("Stand by")
                assert not complaints


def no_violations(axe: object, page: Page) -> bool:
    results = axe.run(page)  # type: ignore[attr-defined]
    assert results.violations_count == 0, results.generate_report()
    return True


def too_small(page: Page) -> list[str]:
    """What is pressed and is smaller than a thumb; a radio button is pressed by its label."""
    return page.evaluate(
        """least => [...document.querySelectorAll("button, select, textarea, input, label")]
            .filter(it => it.checkVisibility() && it.type !== "radio" && !it.htmlFor)
            .filter(it => it.offsetHeight < least || it.offsetWidth < least)
            .map(it => it.outerHTML)""",
        LEAST_TARGET,
    )


def runs_over(page: Page) -> bool:
    """Whether the page must be moved sideways to be read."""
    return bool(page.evaluate("document.documentElement.scrollWidth > innerWidth"))
