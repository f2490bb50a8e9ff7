"""Outputs: each takes frames out of the ring at its own pace, from a thread of its own.

`silent` has no device and is paced by the clock, `file:PATH` writes a WAV file at the same pace,
and a device is paced by its sound card. An output only copies; where the ring runs short, a device
gets the carrier's static instead of silence, and it is counted. `, left` or `, right` behind any of
them takes one of its two channels only.
"""

import contextlib
import threading
import wave
from collections import deque
from collections.abc import Generator, Iterator
from pathlib import Path
from typing import Any, Protocol

import miniaudio

from broadcaster.air.hearing import Hearing
from broadcaster.air.pulse_delay import pulse_delay_s
from broadcaster.air.ring import CHANNELS, FRAME_BYTES, SIDES, Ring, Side
from broadcaster.air.whole_file import WholeFile
from broadcaster.clock import Clock
from broadcaster.errors import StationError, UsageError
from broadcaster.quiet import quiet_libraries
from broadcaster.units import RATE, frames_from_seconds, seconds_from_frames

PERIOD_S = 0.1
"""How often an output asks for frames. Measured: with 50 ms a sound server had gaps while three
busy processes held both cores, with 100 ms none; and longer stretches cost the station less."""
PULSE_DELAY_S = 0.07
"""From the moment when PulseAudio asks for a frame until it is heard, before the server has told.
Measured at the monitor of a sink that takes 10 ms at a time: 60 to 70 ms."""
OTHER_DELAY_S = PERIOD_S
"""The same with other sound systems: a period (common practice, no source)."""
DELAYS = 3
"""Of so many that the server told last the middle one counts: now and then one is far off."""


class Output(Protocol):
    """What the station asks of an output."""

    name: str
    why: str
    """Why it was chosen, in a few words, for the first line that the station says."""
    side: Side | None
    """The channel that is asked for; None: both."""
    patient: bool
    """Whether it can wait for the station, because nobody is listening."""
    underruns: int
    """How often the ring ran short."""

    def start(self, ring: Ring, filler: bytes) -> None:
        """Begin to take frames; `filler` is static in the ring's format, to be looped."""

    def playing(self) -> bool:
        """Whether frames are being taken."""

    @property
    def delay_s(self) -> float:
        """How long a frame that was taken is on its way to the loudspeaker."""

    def heard(self, ring: Ring, now_s: float) -> int:
        """The frame that a listener hears at a moment of the clock, as near as can be told."""

    def close(self) -> None:
        """Stop. A file is complete after this."""


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


class DeviceOutput:
    """A sound device. It is named when opened, so that a lost one is noticed, not swapped."""

    def __init__(self, device: "Device", why: str, clock: Clock, side: Side | None = None) -> None:
        self.name = with_side(device.name, side)
        self.why = why
        self.side = side
        self.patient = False
        self.underruns = 0
        self.calls = 0
        """Times the device asked for frames: the heartbeat that tells a lost device."""
        self._pulse = device.backend is miniaudio.Backend.PULSEAUDIO
        self._clock = clock
        self._hearing = Hearing(PULSE_DELAY_S if self._pulse else OTHER_DELAY_S)
        self._delays_s: deque[float] = deque(maxlen=DELAYS)
        self._device = device
        self._playback = self._open()

    def start(self, ring: Ring, filler: bytes) -> None:
        """Begin to hand frames to the device."""
        feeding = self._feed(ring, filler)
        next(feeding)
        try:
            self._playback.start(feeding)
        except miniaudio.MiniaudioError as error:
            raise StationError(f"The output {self.name!r} does not start: {error}.") from error

    def playing(self) -> bool:
        """Whether the device was started; only its heartbeat tells whether it still plays."""
        return bool(self._playback.running)

    def heard(self, ring: Ring, now_s: float) -> int:
        """The frame that a listener hears at a moment of the clock."""
        return self._hearing.at(now_s, ring.taken)

    @property
    def delay_s(self) -> float:
        """How long a frame that was taken is on its way to the loudspeaker."""
        return self._hearing.delay_s

    def measure(self) -> None:
        """Ask the sound server for the delay. It takes its time: not for playout's thread."""
        delay_s = pulse_delay_s() if self._pulse else None
        if delay_s is not None:
            self._delays_s.append(delay_s)
            self._hearing.delay_s = sorted(self._delays_s)[len(self._delays_s) // 2]

    def close(self) -> None:
        """Stop and let the device go."""
        self._playback.close()

    def _open(self) -> miniaudio.PlaybackDevice:
        try:
            return miniaudio.PlaybackDevice(
                output_format=miniaudio.SampleFormat.SIGNED16,
                nchannels=CHANNELS,
                sample_rate=RATE,
                buffersize_msec=round(PERIOD_S * 1000),
                device_id=self._device.id,
                backends=[self._device.backend],
                app_name="broadcaster",
            )
        except miniaudio.MiniaudioError as error:
            raise StationError(f"The output {self.name!r} does not open: {error}.") from error

    def _feed(self, ring: Ring, filler: bytes) -> Generator[bytes, int, None]:
        """The device's callback: it only copies."""
        wanted = yield b""
        while True:
            self.calls += 1
            self._hearing.note(ring.taken, self._clock.seconds())
            pcm = ring.read(wanted)
            missing = wanted * FRAME_BYTES - len(pcm)
            if missing:
                self.underruns += 1
                self._hearing.restart()
                pcm += (filler * (missing // len(filler) + 1))[:missing]
            wanted = yield pcm


class Device:
    """A sound device that this machine has."""

    def __init__(self, name: str, backend: miniaudio.Backend, device_id: object) -> None:
        self.name = name
        self.backend = backend
        self.id = device_id

    @property
    def system(self) -> str:
        """The sound system that offers it, in its own spelling."""
        return _BACKENDS[self.backend]


_BACKENDS = {
    miniaudio.Backend.WASAPI: "WASAPI",
    miniaudio.Backend.COREAUDIO: "Core Audio",
    miniaudio.Backend.PULSEAUDIO: "PulseAudio",
    miniaudio.Backend.ALSA: "ALSA",
    miniaudio.Backend.JACK: "JACK",
}


class _Devices(miniaudio.Devices):  # type: ignore[misc]
    """miniaudio's list of devices, with the one thing that it leaves out."""

    def _get_info(self, device_type: object, info: Any) -> dict[str, Any]:  # noqa: ANN401  C data
        return {**super()._get_info(device_type, info), "default": bool(info.isDefault)}


def devices() -> Iterator[Device]:
    """The sound devices of this machine, each sound system's own choice first."""
    for backend in _BACKENDS:
        found = []
        with quiet_libraries(), contextlib.suppress(miniaudio.MiniaudioError):
            found = _Devices([backend]).get_playbacks()
        found.sort(key=lambda info: not info["default"])
        for info in found:
            yield Device(str(info["name"]), backend, info["id"])


def with_side(name: str, side: Side | None) -> str:
    """The name of an output, of which perhaps one channel is asked for: `Desk speakers, left`."""
    return f"{name}, {side}" if side else name


def without_side(wish: str) -> tuple[str, Side | None]:
    """An output that was asked for, and which of its channels; None: both."""
    for side in SIDES:
        name, comma, told = wish.rpartition(",")
        if comma and told.strip() == side:
            return name.strip(), side
    return wish, None


def open_output(wish: str, clock: Clock) -> Output:
    """Open the output that was asked for: `auto`, `silent`, `file:PATH`, or a device's name.

    Behind each may stand `, left` or `, right`.
    Raises UsageError for a name that no device has, StationError where it cannot be opened.
    """
    name, side = without_side(wish)
    if name == "silent":
        return SilentOutput("as asked", clock, side)
    if name == "file:":
        raise UsageError("Behind `file:` stands the file to write: `file:evening.wav`.")
    if name.startswith("file:"):
        return FileOutput(Path(name.removeprefix("file:")), clock, side)
    if name == "auto":
        return _automatic(clock, side)
    found = list(devices())
    named = [device for device in found if device.name == name]
    if not named:
        names = ", ".join(repr(device.name) for device in found) or "none"
        raise UsageError(
            f"There is no output {name!r}. Sound devices here: {names}; "
            "`silent`, `file:PATH` and `auto` always work."
        )
    return DeviceOutput(named[0], "as asked", clock, side)


def _automatic(clock: Clock, side: Side | None) -> Output:
    reason = "no sound device was found"
    for device in devices():
        try:
            return DeviceOutput(device, "the first sound device that opens", clock, side)
        except StationError as error:
            reason = str(error).rstrip(".")
    return SilentOutput(reason, clock, side)
