"""How soon a jump is heard: `python -m tests.benchmarks.jump`.

A station plays into a sound server of our own, and the server's monitor is recorded. Each jump is
sent by the desk's own link at a known moment; afterwards the same broadcast is rendered with that
jump and without it, and the first frame that differs is looked for in the recording. Its delay is
from the sending to the arrival of that frame here, the recorder's own latency included.
"""

import os
import random
import subprocess
import threading
import time
from collections.abc import Sequence
from dataclasses import dataclass

import numpy as np

from broadcaster.air.broadcast import Broadcast
from broadcaster.air.items import Outcome
from broadcaster.air.orders import Orders
from broadcaster.air.ring import CHANNELS, FRAME_BYTES, pcm_from_samples
from broadcaster.desk.link import StationLink
from broadcaster.script.loading import load_programme
from broadcaster.script.programme import Programme
from broadcaster.story.cue import Content, Cue
from broadcaster.story.events import (
    CloseStation,
    Jump,
    JumpTiming,
    JumpWaiting,
    OutEvent,
    StartSession,
    Trouble,
)
from broadcaster.units import RATE
from broadcaster.voice.cache import SpeechCache
from broadcaster.voice.speaker import Speaker
from tests.benchmarks.figures import figure, heading
from tests.benchmarks.on_air import a_home
from tests.end_to_end.run import DEMO, Home
from tests.end_to_end.sound_server import SINK, SINK_TITLE, SoundServer
from tests.rehearsal.items import ItemsMadeHere

JUMPS = 120
BETWEEN = ("the gate", "watch")
PAUSES_S = (0.7, 1.1)
SEED = 1
WARM_UP_S = 4.0
RECORDER_MS = 10
BEFORE, AFTER = 2048, 256
"""Frames around the first changed one that must have arrived as they were sent."""


@dataclass(frozen=True)
class Sent:
    """A jump: when it was sent by the monotonic clock, and at which frame it was obeyed."""

    jump: Jump
    moment_s: float
    frame: int


class Recorder:
    """Records the monitor; remembers when which frame had arrived."""

    def __init__(self, server: SoundServer) -> None:
        self.pcm = bytearray()
        self.arrivals: list[tuple[int, float]] = []
        """Frames so far, and when the last of them came."""
        self._process = subprocess.Popen(
            [
                *("parec", f"--device={SINK}.monitor", "--raw", f"--latency-msec={RECORDER_MS}"),
                *("--format=s16le", f"--rate={RATE}", f"--channels={CHANNELS}"),
            ],
            env={**os.environ, **server.environment},
            stdout=subprocess.PIPE,
        )
        self._thread = threading.Thread(target=self._listen, daemon=True)
        self._thread.start()

    def stop(self) -> None:
        """End the recording."""
        self._process.terminate()
        self._process.wait()
        self._thread.join()

    def arrived_s(self, frame: int) -> float:
        """When a frame had arrived, by the monotonic clock."""
        place = np.searchsorted([frames for frames, _ in self.arrivals], frame, side="right")
        return self.arrivals[int(place)][1]

    def _listen(self) -> None:
        assert self._process.stdout is not None
        while heard := os.read(self._process.stdout.fileno(), 65_536):
            self.pcm += heard
            self.arrivals.append((len(self.pcm) // FRAME_BYTES, time.monotonic()))


def main() -> None:
    """Print the figures."""
    heading(f"{JUMPS} jumps `now`, to the first changed frame at a sound server's monitor")
    with a_home() as home, SoundServer() as server:
        os.environ.update(home.environment | server.environment)
        (home.folder / "xdg_runtime_dir").mkdir(exist_ok=True)
        programme = load_programme(str(DEMO))
        recorder = Recorder(server)
        time.sleep(0.5)
        sent = _session(programme, home)
        recorder.stop()
        delays_ms = _delays_ms(programme, home, sent, recorder)
    figure("jumps that could be followed in the recording", f"{len(delays_ms)} of {len(sent)}")
    if not delays_ms:
        return
    median, late, latest = np.percentile(delays_ms, (50, 99, 100))
    gaps_ms = 1000 * np.diff([moment_s for _, moment_s in recorder.arrivals])
    figure("delay, median", f"{median:.0f} ms")
    figure("delay, 99th percentile", f"{late:.0f} ms", "under 300 ms")
    figure("delay, longest", f"{latest:.0f} ms")
    figure(
        "in which the recorder hands over every",
        f"{np.median(gaps_ms):.0f} ms (99 %: {np.percentile(gaps_ms, 99):.0f} ms)",
    )


def _session(programme: Programme, home: Home) -> list[Sent]:
    """Put the demo on air and jump to and fro, at moments that have no rhythm."""
    link = StationLink("jumps")
    link.start()
    orders = Orders(
        programme=programme,
        output=SINK_TITLE,
        seed=SEED,
        cache_folder=home.folder / "speech",
        agenda=((0, StartSession()),),
    )
    link.give(orders)
    moments_s = []
    told: list[OutEvent] = []
    chance = random.Random(SEED)
    time.sleep(WARM_UP_S)
    for count in range(JUMPS):
        moments_s.append(time.monotonic())
        link.send(Jump(BETWEEN[count % 2], JumpTiming.NOW))
        time.sleep(chance.uniform(*PAUSES_S))
        told += link.events()
    link.send(CloseStation())
    while not link.gone:
        told += link.events()
        time.sleep(0.01)
    for event in told:
        if isinstance(event, Trouble):
            print(f"  trouble: {event.sentence}")
    obeyed = [event for event in told if isinstance(event, JumpWaiting) and event.segment]
    return [
        Sent(Jump(str(event.segment), JumpTiming.NOW), moment_s, event.frame)
        for event, moment_s in zip(obeyed, moments_s, strict=True)
    ]


def _delays_ms(
    programme: Programme, home: Home, sent: Sequence[Sent], recorder: Recorder
) -> list[float]:
    """The delay of each jump whose first change, and what was before it, arrived as it was sent."""
    items = _Kept(programme, Speaker(SpeechCache(home.folder / "speech")))
    whole = _rendered(programme, items, sent, sent[-1].frame + RATE // 2)
    recorded = bytes(recorder.pcm)
    delays_ms = []
    place = 0
    for count, jump in enumerate(sent):
        without = _rendered(programme, items, sent[:count], jump.frame + RATE // 4)
        changed = _first_difference(whole, without)
        around = whole[(changed - BEFORE) * FRAME_BYTES : (changed + AFTER) * FRAME_BYTES]
        found = recorded.find(around, place)
        if found >= 0:
            place = found
            moment_s = recorder.arrived_s(found // FRAME_BYTES + BEFORE)
            delays_ms.append(1000 * (moment_s - jump.moment_s))
    return delays_ms


class _Kept(ItemsMadeHere):
    """Each item is made once."""

    def __init__(self, programme: Programme, speaker: Speaker) -> None:
        super().__init__(programme, speaker)
        self._kept: dict[Content, Outcome] = {}

    def fetch(self, cue: Cue) -> Outcome:
        """The item as it was made the first time."""
        if cue.content not in self._kept:
            self._kept[cue.content] = super().fetch(cue)
        return self._kept[cue.content]


def _rendered(programme: Programme, items: _Kept, jumps: Sequence[Sent], frames: int) -> bytes:
    """The broadcast with these jumps, as bytes of frames."""
    broadcast = Broadcast(programme, items, seed=SEED)
    broadcast.receive(StartSession(), 0)
    for sent in jumps:
        broadcast.receive(sent.jump, sent.frame)
    return pcm_from_samples(broadcast.render(frames))


def _first_difference(one: bytes, other: bytes) -> int:
    """The first frame in which they differ, or the length of the shorter."""
    size = min(len(one), len(other)) // FRAME_BYTES * FRAME_BYTES
    frames = [np.frombuffer(pcm[:size], f"V{FRAME_BYTES}") for pcm in (one, other)]
    differs = frames[0] != frames[1]
    return int(differs.argmax()) if differs.any() else size // FRAME_BYTES


if __name__ == "__main__":
    main()
