"""A desk page in a real browser, before a station that is on air."""

import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import httpx
from playwright.sync_api import Browser, Page, sync_playwright

from tests.end_to_end.run import Home
from tests.ports import free_port

LIMIT_S = 30.0
PHONE, DESKTOP = (390, 844), (1440, 1000)

SCRIPT = """\
programme: Low Water
station: {callsign: Heron, frequency: 91.3 MHz, voice: keeper, sound: coastal 1958}
session: 60 min
opening: watch
facts:
  crates_open: {at first: 0, from: 0, to: 4}
  lamp_lit: no
  gate: {at first: shut, one of: [shut, ajar, open]}
milestones:
  lamp: {when: lamp_lit, by: 12 min, hint after: 16 min}
segments:
  watch:
    about: Heron calls a dark tower.
    repeat: yes
    play:
      - say: Heron calling the light.
      - groups: 2714
        clue: the first crate
      - pause: 2 s
    exits: [{to: the lamp, when: lamp_lit, at once: yes}]
    hints:
      - say: The figures come round.
      - say: Set the figures in the order in which you hear them.
  the lamp:
    about: The lamp is lit.
    repeat: yes
    play: [{say: We see your lamp.}, {pause: 1 s}]
  stand easy:
    about: Operator only. The harbour office holds the air.
    repeat: yes
    play: [{say: Stand easy.}, {pause: 1 s}]
"""


@contextmanager
def desk(home: Home, settings: str = "") -> Iterator[str]:
    """A station on air with its desk page; the page's address. `settings`: more of `http`."""
    port = free_port()
    script = home.folder / "low-water.yaml"
    script.write_text(SCRIPT)
    (home.folder / "station.yaml").write_text(f"http:\n  port: {port}\n{settings}")
    process = home.start(
        *("air", script, "--output", "silent", "--no-console", "--json"),
        stdout=(home.folder / "told.jsonl").open("w"),
        stderr=(home.folder / "errors").open("w"),
    )
    url = f"http://127.0.0.1:{port}"
    try:
        wait_for(lambda: _answers(url), lambda: (home.folder / "errors").read_text())
        yield url
    finally:
        process.terminate()
        process.wait(timeout=LIMIT_S)
    assert (home.folder / "errors").read_text().count("Traceback") == 0


@contextmanager
def chromium() -> Iterator[Browser]:
    """Debian's Chromium. As root, in a container, it cannot build its own sandbox."""
    with sync_playwright() as playwright:
        browser = playwright.chromium.launch(
            executable_path="/usr/bin/chromium", args=["--no-sandbox"]
        )
        yield browser
        browser.close()


@contextmanager
def opened(
    browser: Browser, url: str, size: tuple[int, int], **options: Any
) -> Iterator[tuple[Page, list[str]]]:
    """The page, and what there is to complain of: errors, and requests to any other host."""
    width, height = size
    context = browser.new_context(viewport={"width": width, "height": height}, **options)
    context.set_default_timeout(1000 * LIMIT_S)
    page = context.new_page()
    complaints: list[str] = []
    page.on("console", lambda said: complaints.append(said.text) if said.type == "error" else None)
    page.on("pageerror", lambda error: complaints.append(str(error)))
    page.on("request", lambda it: it.url.startswith(url) or complaints.append(it.url))
    page.goto(url)
    yield page, complaints
    context.close()


def wait_for(reached: Callable[[], object], otherwise: Callable[[], object] = str) -> None:
    """Wait until it holds; fail with what `otherwise` says."""
    deadline = time.monotonic() + LIMIT_S
    while not reached():
        assert time.monotonic() < deadline, otherwise()
        time.sleep(0.05)


def _answers(url: str) -> bool:
    try:
        return httpx.get(f"{url}/").is_success
    except httpx.TransportError:
        return False


def pictures(folder: Path, page: Page, name: str) -> None:
    """Keep what is seen, for eyes."""
    page.screenshot(path=str(folder / f"{name}.png"), full_page=True)
