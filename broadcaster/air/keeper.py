"""Keeps an output playing: a device that fell silent is let go, and opened again when it is back.

A lost sound device says nothing (measured: its stream stays "running", no callback, no error), so
its heartbeat is watched. Meanwhile the clock paces the broadcast, which goes on.
"""

import threading
from collections.abc import Callable
from itertools import count

from broadcaster.air.device_outputs import DELAYS, DeviceOutput
from broadcaster.air.outputs import Output, open_output
from broadcaster.air.paced_outputs import SilentOutput
from broadcaster.air.ring import Ring
from broadcaster.air.sides import Side
from broadcaster.clock import Clock
from broadcaster.errors import BroadcasterError
from broadcaster.story.events import OutEvent, Trouble

LOST_S = 1.0
"""A device that asked for nothing for so long is lost: ten periods."""
MEASURED_LOOKS = 30
"""After so many looks at it a device's delay is measured again, DELAYS times."""


class OutputKeeper:
    """The output in use, and the thread that watches it."""

    def __init__(
        self, output: Output, clock: Clock, tell: Callable[[list[OutEvent]], None]
    ) -> None:
        """`tell` hears of a device lost or regained."""
        self._output = output
        self._wish = output.name
        self.side: Side | None = output.side
        """The channel that was asked for, also while the output is lost; None: both."""
        self._clock = clock
        self._tell = tell
        self._stop = threading.Event()
        self._watch: threading.Thread | None = None
        self._underruns_before = 0

    @property
    def name(self) -> str:
        """The output that was asked for, also while it is lost."""
        return self._wish

    @property
    def why(self) -> str:
        """Why it was chosen."""
        return self._output.why

    @property
    def patient(self) -> bool:
        """Whether it can wait for the station."""
        return self._output.patient

    @property
    def underruns(self) -> int:
        """How often the ring ran short, in all."""
        return self._underruns_before + self._output.underruns

    def playing(self) -> bool:
        """Whether the output that was asked for is taking frames."""
        return self._output.name == self._wish and self._output.playing()

    @property
    def delay_s(self) -> float:
        """How long a frame that was taken is on its way to the loudspeaker."""
        return self._output.delay_s

    def heard(self, ring: Ring, now_s: float) -> int:
        """The frame that a listener hears at a moment of the clock."""
        return self._output.heard(ring, now_s)

    def start(self, ring: Ring, filler: bytes) -> None:
        """Begin to take frames, and to watch."""
        self._output.start(ring, filler)
        if isinstance(self._output, DeviceOutput):
            self._watch = threading.Thread(
                target=self._watch_device, args=(ring, filler), name="keeper", daemon=True
            )
            self._watch.start()

    def close(self) -> None:
        """Stop watching and close the output. Raises StationError if a file is incomplete."""
        self._stop.set()
        if self._watch:
            self._watch.join()
        self._output.close()

    def _watch_device(self, ring: Ring, filler: bytes) -> None:
        calls, looks = -1, count()
        while not self._stop.wait(LOST_S):
            output = self._output
            if isinstance(output, DeviceOutput):
                if output.calls == calls:
                    stand_in = SilentOutput("the device is lost", self._clock)
                    self._change(stand_in, ring, filler)
                    self._say(ring, f"The output {self._wish!r} is lost; the broadcast goes on.")
                elif next(looks) % MEASURED_LOOKS < DELAYS:
                    output.measure()
                calls = output.calls
            else:
                calls = -1
                self._reopen(ring, filler)

    def _reopen(self, ring: Ring, filler: bytes) -> None:
        try:
            regained = open_output(self._wish, self._clock)
            self._change(regained, ring, filler)
        except BroadcasterError:
            return  # not back yet: the loss was told, and the next try comes in a second
        self._say(ring, f"The output {self._wish!r} is back.")

    def _change(self, output: Output, ring: Ring, filler: bytes) -> None:
        """Only one output may read the ring: the old one ends before the new one begins."""
        self._underruns_before += self._output.underruns
        self._output.close()
        self._output = output
        output.start(ring, filler)

    def _say(self, ring: Ring, sentence: str) -> None:
        self._tell([Trouble(ring.written, sentence)])
