"""Outputs: each frame is taken once, at the clock's pace; a file is complete or not there."""

import threading
import time
import wave
from pathlib import Path

import numpy as np
import pytest
from miniaudio import Backend

from broadcaster.air import outputs
from broadcaster.air.device_outputs import Device
from broadcaster.air.outputs import open_output
from broadcaster.air.paced_outputs import PERIOD_S, FileOutput, SilentOutput
from broadcaster.air.ring import Ring
from broadcaster.air.sides import without_side
from broadcaster.clock import SystemClock
from broadcaster.errors import StationError, UsageError
from broadcaster.units import RATE


class FastClock:
    """A clock that runs fifty times as fast as the machine's own."""

    def __init__(self) -> None:
        self._began = time.monotonic()

    def seconds(self) -> float:
        return 50 * (time.monotonic() - self._began)

    def wait(self, seconds: float) -> None:
        time.sleep(max(0.0, seconds / 50))

    def wall(self):
        return SystemClock().wall()


def counted(first: int, frames: int) -> bytes:
    """Frames that carry their own number, in both channels."""
    return np.repeat(np.arange(first, first + frames).astype("<i2"), 2).tobytes()


def fill(ring: Ring, frames: int) -> None:
    """Write so many counted frames as the output makes room."""
    written = 0
    while written < frames:
        run = min(ring.room, frames - written)
        ring.write(counted(written, run))
        written += run
        time.sleep(0.0005)


def test_a_file_gets_every_frame_once_and_its_name_at_the_end(tmp_path: Path) -> None:
    """The WAV holds what was written to the ring; before close() there is no file of that name."""
    path = tmp_path / "out.wav"
    ring = Ring(8192)
    output = FileOutput(path, FastClock())
    filling = threading.Thread(target=fill, args=(ring, RATE // 2))
    filling.start()
    output.start(ring, b"")
    filling.join()
    while ring.filled:
        time.sleep(0.001)
    assert not path.exists()
    output.close()
    with wave.open(str(path)) as wav:
        assert (wav.getframerate(), wav.getnchannels(), wav.getsampwidth()) == (RATE, 2, 2)
        assert wav.readframes(RATE) == counted(0, RATE // 2)


def test_a_file_output_waits_for_a_slow_station(tmp_path: Path) -> None:
    """Where the ring runs short nothing is lost, nothing is put in, nothing is counted."""
    ring = Ring(8192)
    output = FileOutput(tmp_path / "out.wav", FastClock())
    output.start(ring, b"")
    time.sleep(0.02)
    ring.write(counted(0, 100))
    while ring.filled:
        time.sleep(0.001)
    output.close()
    assert output.underruns == 0
    with wave.open(str(tmp_path / "out.wav")) as wav:
        assert wav.readframes(1000) == counted(0, 100)


def test_the_silent_output_keeps_the_clocks_pace() -> None:
    """In half a second of its clock about half a second of frames is taken."""
    clock, ring = FastClock(), Ring(10 * RATE)
    ring.write(bytes(4 * 10 * RATE))
    output = SilentOutput("for a test", clock)
    began = clock.seconds()
    output.start(ring, b"")
    time.sleep(0.04)
    output.close()
    assert ring.taken / RATE <= clock.seconds() - began + PERIOD_S
    assert ring.taken / RATE >= 0.5


@pytest.mark.parametrize("path", ["missing/folder/out.wav", "."])
def test_a_file_that_cannot_be_written_is_refused(tmp_path: Path, path: str) -> None:
    """One sentence, before anything goes on air."""
    with pytest.raises(StationError, match="Cannot write"):
        open_output(f"file:{tmp_path / path}", SystemClock())


def test_an_unknown_device_is_wrong_usage() -> None:
    """The error names what there is."""
    with pytest.raises(UsageError, match=r"There is no output 'kettle'.*`silent`, `file:PATH`"):
        open_output("kettle", SystemClock())


def test_a_device_whose_name_is_nearly_right_is_suggested(monkeypatch: pytest.MonkeyPatch) -> None:
    """A sound system writes names in its own way."""
    named = [Device(name, Backend.ALSA, None) for name in ("Headphones", "Desk_speakers")]
    monkeypatch.setattr(outputs, "devices", lambda: iter(named))
    with pytest.raises(UsageError, match=r"Did you mean `Desk_speakers`\?"):
        open_output("Desk speakers, left", SystemClock())


def test_auto_falls_back_to_silent_and_says_why(monkeypatch: pytest.MonkeyPatch) -> None:
    """Where there is no sound device the broadcast goes on in silence, and the reason is given."""
    monkeypatch.setattr(outputs, "devices", lambda: iter(()))
    output = open_output("auto", SystemClock())
    assert (output.name, output.why) == ("silent", "no sound device was found")


@pytest.mark.parametrize(
    ("wish", "name", "side"),
    [
        ("Desk speakers, left", "Desk speakers", "left"),
        ("Desk speakers,right", "Desk speakers", "right"),
        ("Speakers, front left", "Speakers, front left", None),
        ("left", "left", None),
    ],
)
def test_a_side_stands_behind_a_comma(wish, name, side) -> None:
    """It is the last word, alone; a device's own name may have commas."""
    assert without_side(wish) == (name, side)


def test_an_output_keeps_the_side_in_its_name() -> None:
    """So that the same wish opens it again when it was lost."""
    output = open_output("silent,  right", SystemClock())
    assert (output.name, output.side) == ("silent, right", "right")
    again = open_output(output.name, SystemClock())
    assert (again.name, again.side) == (output.name, output.side)
