"""The picture of the console in the README: `python -m tests.console.picture`.

The demo goes out, off air and as fast as it can, to a moment worth seeing: the room has told a
few facts, a clue is being read, and a jump waits for its end. The console draws what the broadcast
told.
"""

from collections.abc import Sequence
from pathlib import Path

import numpy as np

from broadcaster.air.broadcast import Broadcast
from broadcaster.air.items import Outcome
from broadcaster.air.preparing import maker
from broadcaster.console.picture import console_picture
from broadcaster.script.loading import load_programme
from broadcaster.script.programme import Programme
from broadcaster.story.cue import Cue
from broadcaster.story.events import (
    InEvent,
    ItemStarted,
    Jump,
    OutEvent,
    OutputState,
    SetFact,
    StartSession,
    StationOpened,
)
from broadcaster.units import Samples, db_from_gain, frames_from_seconds, silence
from broadcaster.voice.speaker import Speaker
from tests.console import scene

PICTURE = Path(__file__).with_name("console.svg")
SIZE = (116, 36)
SEED = 7
BLOCK_FRAMES = 4096
BUFFERED_FRAMES = frames_from_seconds(0.2)
"""What a sound device's buffers hold, about."""

TOLD: tuple[tuple[float, InEvent], ...] = (
    (0.0, StartSession()),
    (131.0, SetFact("crates_open", 1, "room")),
    (402.0, SetFact("crates_open", 2, "room")),
    (455.0, SetFact("lamp_lit", True, "room")),
    (571.0, SetFact("crates_open", 3, "room")),
)
"""What the room and the operator do, by the second."""
JUMP = Jump("the gate again")
CLUE_ROUND = 3
"""The jump is made while the first clue of this round of the gate is read."""
JUMP_AT, PICTURE_AT = 0.3, 0.55
"""How far the clue is then, and when the picture is taken."""


class ItemsAtOnce:
    """An ItemSource that makes each item when it is fetched."""

    def __init__(self, programme: Programme) -> None:
        self._make = maker(programme, Speaker(None))

    def expect(self, cues: Sequence[Cue]) -> None:
        """Nothing is made ahead."""

    def fetch(self, cue: Cue) -> Outcome:
        """The item, however long that takes."""
        return self._make(cue.content)


class Evening:
    """The broadcast, what it told, and its latest tenth of a second."""

    def __init__(self, programme: Programme) -> None:
        self._broadcast = Broadcast(programme, ItemsAtOnce(programme), seed=SEED)
        for seconds, event in TOLD:
            self._broadcast.receive(event, frames_from_seconds(seconds))
        self.told: list[OutEvent] = []
        self._latest = silence(0)

    def go_on(self) -> None:
        """One block more."""
        latest = np.concatenate([self._latest, self._broadcast.render(BLOCK_FRAMES)])
        self._latest: Samples = latest[-frames_from_seconds(0.1) :]
        self.told += self._broadcast.take_events()

    def go_on_to(self, frame: int) -> None:
        """As many blocks as it takes."""
        while self._broadcast.frame < frame:
            self.go_on()

    def clue(self) -> ItemStarted | None:
        """The clue at which the picture is taken, once it is on air."""
        for event in reversed(self.told):
            if isinstance(event, ItemStarted) and event.clue and event.segment == "the gate":
                return event if (event.round, event.time) == (CLUE_ROUND, 1) else None
        return None

    def jump(self) -> None:
        """The operator's move."""
        self._broadcast.receive(JUMP)

    def output(self) -> OutputState:
        """How an output would do now."""
        return OutputState(
            frame=self._broadcast.frame,
            heard_frame=self._broadcast.frame - BUFFERED_FRAMES,
            output="USB Audio",
            playing=True,
            underruns=0,
            buffered_frames=BUFFERED_FRAMES,
            peak_dbfs=db_from_gain(float(np.abs(self._latest).max())),
            rms_dbfs=db_from_gain(float(np.sqrt(np.mean(self._latest**2)))),
        )


def draw() -> str:
    """The picture, as SVG."""
    programme = load_programme("low-water")
    evening = Evening(programme)
    while not (clue := evening.clue()):
        evening.go_on()
    length = clue.end_frame - clue.start_frame
    evening.go_on_to(clue.start_frame + int(JUMP_AT * length))
    evening.jump()
    evening.go_on_to(clue.start_frame + int(PICTURE_AT * length))
    opened = StationOpened(
        programme=programme.programme,
        callsign=programme.station.callsign,
        seed=SEED,
        output="USB Audio",
        why="the first sound device that opens",
        wall=scene.OPENED.isoformat(),
    )
    events = [opened, *evening.told, evening.output()]
    return console_picture(programme, events, scene.clock(), size=SIZE, keys=("down",) * 9)


if __name__ == "__main__":
    PICTURE.write_text(draw(), encoding="utf-8")
