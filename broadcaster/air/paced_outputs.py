"""Outputs without a device: the clock paces them, and a file or nobody gets the frames."""

import threading
import wave
from pathlib import Path

from broadcaster.air.hearing import Hearing
from broadcaster.air.ring import CHANNELS, FRAME_BYTES, Ring
from broadcaster.air.sides import Side, with_side
from broadcaster.air.whole_file import WholeFile
from broadcaster.clock import Clock
from broadcaster.units import RATE, frames_from_seconds, seconds_from_frames

PERIOD_S = 0.1
"""How often an output asks for frames. Measured: with 50 ms a sound server had gaps while three
busy processes held both cores, with 100 ms none; and longer stretches cost the station less."""


class PacedOutput:
    """An output without a device: the clock paces it, and a sink gets the bytes."""

    def __init__(self, name: str, why: str, clock: Clock, side: Side | None = None) -> None:
        self.name = with_side(name, side)
        self.why = why
        self.side = side
        self.patient = False
        self.underruns = 0
        self.delay_s = 0.0  # there is nothing between the ring and the listener
        self._clock = clock
        self._hearing = Hearing(self.delay_s)
        self._stop = threading.Event()
        self._thread: threading.Thread | None = None

    def start(self, ring: Ring, filler: bytes) -> None:
        """Begin to take frames."""
        del filler  # nobody listens
        self._thread = threading.Thread(target=self._run, args=(ring,), name="output", daemon=True)
        self._thread.start()

    def playing(self) -> bool:
        """Whether frames are being taken."""
        return self._thread is not None and self._thread.is_alive()

    def heard(self, ring: Ring, now_s: float) -> int:
        """The frame that a listener hears at a moment of the clock."""
        return self._hearing.at(now_s, ring.taken)

    def close(self) -> None:
        """Stop taking frames."""
        self._stop.set()
        if self._thread:
            self._thread.join()

    def sink(self, pcm: bytes) -> None:
        """What becomes of the frames: here, nothing."""

    def _run(self, ring: Ring) -> None:
        """Take a period's frames at once and each period; what was missed is made up for."""
        begun = self._clock.seconds()
        due = 0
        while not self._stop.is_set():
            self._clock.wait(begun + seconds_from_frames(due) - self._clock.seconds())
            due += frames_from_seconds(PERIOD_S)
            wanted = due - ring.taken if self.patient else frames_from_seconds(PERIOD_S)
            self._hearing.note(ring.taken, self._clock.seconds())
            pcm = ring.read(wanted)
            self.sink(pcm)
            if len(pcm) < wanted * FRAME_BYTES:
                self._hearing.restart()
                self.underruns += not self.patient


class SilentOutput(PacedOutput):
    """No sound at all: for a machine without a sound card, and for rehearsing live."""

    def __init__(self, why: str, clock: Clock, side: Side | None = None) -> None:
        super().__init__("silent", why, clock, side)


class FileOutput(PacedOutput):
    """A WAV file: 48 kHz, 16 bits, two channels. Written under another name until complete."""

    def __init__(self, path: Path, clock: Clock, side: Side | None = None) -> None:
        super().__init__(f"file:{path}", "as asked", clock, side)
        self.patient = True
        self._whole = WholeFile(path)
        self._wav = wave.open(self._whole.file)  # noqa: SIM115  completed in close()
        self._wav.setnchannels(CHANNELS)
        self._wav.setsampwidth(FRAME_BYTES // CHANNELS)
        self._wav.setframerate(RATE)
        self._error: OSError | None = None

    def sink(self, pcm: bytes) -> None:
        """Write the frames; a full disk ends the file, not the station."""
        if self._error is None:
            try:
                self._wav.writeframes(pcm)
            except OSError as error:
                self._error = error

    def playing(self) -> bool:
        """Whether frames are being taken and written."""
        return super().playing() and self._error is None

    def close(self) -> None:
        """Complete the file and give it its name; a file that lacks something is taken away."""
        super().close()
        with self._whole:
            self._wav.close()
            if self._error:
                raise self._error
