"""A PulseAudio daemon of our own: a sink that plays to nobody, and a recorder on its monitor."""

import contextlib
import os
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path
from types import TracebackType
from typing import Self

from broadcaster.air.ring import CHANNELS, FRAME_BYTES
from broadcaster.units import RATE

SINK = "control_room"
SINK_TITLE = "ControlRoom"


class SoundServer:
    """The daemon. Its sink runs at our rate and format, so that samples pass unchanged."""

    def __init__(self) -> None:
        self.folder = Path(tempfile.mkdtemp(prefix="bcpa"))
        self.address = f"unix:{self.folder / 'native'}"
        self._daemon: subprocess.Popen[bytes] | None = None

    def __enter__(self) -> Self:
        (self.folder / "run").mkdir(mode=0o700)
        modules = [
            f"module-native-protocol-unix auth-anonymous=1 socket={self.folder / 'native'}",
            self._sink_module(),
        ]
        self._daemon = subprocess.Popen(
            [
                *("pulseaudio", "-n", "--daemonize=no", "--exit-idle-time=-1"),
                *("--use-pid-file=no", "--disallow-exit", "--log-target=file:/dev/null"),
                *(part for module in modules for part in ("-L", module)),
            ],
            env={
                **os.environ,
                "HOME": str(self.folder),
                "XDG_RUNTIME_DIR": str(self.folder / "run"),
            },
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            start_new_session=True,  # as on a desktop, where it is a service of its own
        )
        deadline = time.monotonic() + 10.0
        while self.control("info", check=False) is None:
            if time.monotonic() > deadline:
                raise RuntimeError("the sound server did not start")
            time.sleep(0.05)
        self._go_first()
        return self

    def __exit__(
        self,
        kind: type[BaseException] | None,
        error: BaseException | None,
        trace: TracebackType | None,
    ) -> None:
        if self._daemon:
            self._daemon.kill()
            self._daemon.wait()
        shutil.rmtree(self.folder, ignore_errors=True)

    def _go_first(self) -> None:
        """Real time for the whole daemon, as for a desktop's sound server, where it is granted.

        Only its sink's thread asks for that itself. Measured on two cores with five busy processes:
        without, the daemon was late for its clients every ten seconds or so; with it, never.
        """
        assert self._daemon is not None
        for task in Path(f"/proc/{self._daemon.pid}/task").iterdir():
            with contextlib.suppress(PermissionError):
                os.sched_setscheduler(int(task.name), os.SCHED_RR, os.sched_param(6))

    @property
    def environment(self) -> dict[str, str]:
        """What a client of this server needs in its environment."""
        return {"PULSE_SERVER": self.address}

    def control(self, *arguments: str, check: bool = True) -> str | None:
        """What `pactl` says; None if it fails and `check` is off."""
        run = subprocess.run(
            ["pactl", *arguments],
            env={**os.environ, **self.environment},
            capture_output=True,
            text=True,
            check=check,
        )
        return run.stdout.strip() if run.returncode == 0 else None

    def add_sink(self) -> None:
        """Put the sink back after remove_sink()."""
        self.control("load-module", *self._sink_module().split(" ", 1))

    def remove_sink(self) -> None:
        """Take the sink away, as a USB sound card is pulled."""
        self.control("unload-module", "module-null-sink")

    @contextlib.contextmanager
    def recording(self) -> Iterator["Recording"]:
        """Record what the sink plays, until the block ends."""
        raw = self.folder / f"{time.monotonic_ns()}.raw"
        with raw.open("wb") as file:
            recorder = subprocess.Popen(
                [
                    *("parec", f"--device={SINK}.monitor", "--raw", "--latency-msec=10"),
                    *("--format=s16le", f"--rate={RATE}", f"--channels={CHANNELS}"),
                ],
                env={**os.environ, **self.environment},
                stdout=file,
                start_new_session=True,
            )
            time.sleep(0.5)
            yield Recording(raw)
            recorder.terminate()
            recorder.wait()

    def _sink_module(self) -> str:
        return (
            f"module-null-sink sink_name={SINK} rate={RATE} format=s16le channels={CHANNELS} "
            f"sink_properties=device.description={SINK_TITLE}"
        )


class Recording:
    """What was recorded, as bytes of frames in the ring's format."""

    def __init__(self, raw: Path) -> None:
        self._raw = raw

    @property
    def pcm(self) -> bytes:
        """All whole frames so far."""
        pcm = self._raw.read_bytes()
        return pcm[: len(pcm) // FRAME_BYTES * FRAME_BYTES]


def frames_in_one_piece(recorded: bytes, sent: bytes) -> int:
    """How many frames of what was sent arrived without a gap, a repeat or a change.

    Counted from the first moment of the first two seconds that is found in the recording: a sound
    server may drop a few milliseconds while a stream starts.
    """
    for first in range(0, 2 * RATE, RATE // 50):
        probe = sent[first * FRAME_BYTES : (first + 256) * FRAME_BYTES]
        place = recorded.find(probe)
        if place >= 0 and place % FRAME_BYTES == 0:
            return _common_frames(sent[first * FRAME_BYTES :], recorded[place:])
    return 0


def _common_frames(one: bytes, other: bytes) -> int:
    """Frames that both begin with."""
    size = min(len(one), len(other))
    low, high = 0, size
    while low < high:
        middle = (low + high + 1) // 2
        if one[:middle] == other[:middle]:
            low = middle
        else:
            high = middle - 1
    return low // FRAME_BYTES
