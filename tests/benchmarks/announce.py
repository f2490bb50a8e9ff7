"""How soon the operator is heard: `python -m tests.benchmarks.announce`.

From the sending of an event by the desk's own link to the frame on which the words begin, at the
place that the station's output says is heard. Each announcement is one that was never said before.
A silent output has nothing between its ring and the listener; a sound device adds its own buffer,
of which `tests.benchmarks.jump` tells. Once with the machine at rest, once with a process for each
core that never rests.
"""

import contextlib
import multiprocessing
import os
import random
import time
from collections.abc import Iterator
from dataclasses import dataclass

import numpy as np

from broadcaster.air.orders import Orders
from broadcaster.desk.link import StationLink
from broadcaster.script.loading import load_programme
from broadcaster.story.events import (
    Announce,
    CloseStation,
    InEvent,
    ItemStarted,
    OutputState,
    Part,
    PlainVoice,
    StartSession,
    StopPlainVoice,
)
from broadcaster.units import RATE
from tests.benchmarks.figures import figure, heading
from tests.benchmarks.on_air import a_home
from tests.end_to_end.run import DEMO

ANNOUNCEMENTS = 50
PLAIN_VOICES = 20
WARM_UP_S = 4.0
LIMIT_S = 5.0
PAUSES_S = (0.3, 0.9)


@dataclass
class Ear:
    """Listens to what a station tells, and when it tells it."""

    link: StationLink

    def delay_ms(self, event: InEvent, part: Part, text: str) -> float:
        """From the sending of an event until the item that it leads to is heard."""
        sent_s = time.monotonic()
        self.link.send(event)
        begins: int | None = None
        while time.monotonic() < sent_s + LIMIT_S:
            for told in self.link.events():
                match told:
                    case ItemStarted() if begins is None and (told.part, told.text) == (part, text):
                        begins = told.start_frame + (told.words[0][0] if told.words else 0)
                    case OutputState() if begins and told.heard_frame >= begins:
                        since_s = (told.heard_frame - begins) / RATE
                        return 1000 * (time.monotonic() - since_s - sent_s)
            time.sleep(0.002)
        raise TimeoutError(f"{event} was not heard")


def main() -> None:
    """Print the figures."""
    programme = load_programme(str(DEMO))
    for busy in (0, os.cpu_count() or 1):
        heading(f"What the operator says, output silent, {busy} busy processes")
        with a_home() as home, _busy(busy):
            os.environ.update(home.environment)
            (home.folder / "xdg_runtime_dir").mkdir(exist_ok=True)
            link = StationLink("announcements")
            link.start()
            agenda = ((0, StartSession()),)
            cache = home.folder / "speech"
            link.give(Orders(programme, "silent", cache_folder=cache, agenda=agenda))
            time.sleep(WARM_UP_S)
            _measure(Ear(link), programme.plain_voice_text)
            link.send(CloseStation())
            while not link.gone:
                link.events()
                time.sleep(0.01)


def _measure(ear: Ear, prepared: str) -> None:
    chance = random.Random(1)
    announced, plain = [], []
    for count in range(ANNOUNCEMENTS):
        text = f"Keepers, this is message {count}: the tide has turned, and the gate is open."
        announced.append(ear.delay_ms(Announce(text, now=True), Part.ANNOUNCEMENT, text))
        time.sleep(chance.uniform(*PAUSES_S))
    for _ in range(PLAIN_VOICES):
        plain.append(ear.delay_ms(PlainVoice(), Part.PLAIN_VOICE, prepared))
        ear.link.send(StopPlainVoice())
        time.sleep(chance.uniform(*PAUSES_S))
    _print("an announcement now, first word", announced, "under 700 ms")
    _print("the plain voice, first word", plain, "under 250 ms")


def _print(what: str, delays_ms: list[float], aim: str) -> None:
    median, late, latest = np.percentile(delays_ms, (50, 99, 100))
    figure(f"{what}, median", f"{median:.0f} ms")
    figure("  99th percentile", f"{late:.0f} ms", aim)
    figure("  latest", f"{latest:.0f} ms")


@contextlib.contextmanager
def _busy(count: int) -> Iterator[None]:
    hogs = [multiprocessing.Process(target=_never_rest, daemon=True) for _ in range(count)]
    for hog in hogs:
        hog.start()
    try:
        yield
    finally:
        for hog in hogs:
            hog.kill()


def _never_rest() -> None:
    while True:
        pass


if __name__ == "__main__":
    main()
