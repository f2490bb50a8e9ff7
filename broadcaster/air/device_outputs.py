"""Sound devices: which there are, and frames handed to one at its own pace."""

import contextlib
from collections import deque
from collections.abc import Generator, Iterator
from typing import Any

import miniaudio

from broadcaster.air.hearing import Hearing
from broadcaster.air.paced_outputs import PERIOD_S
from broadcaster.air.pulse_delay import pulse_delay_s
from broadcaster.air.ring import CHANNELS, FRAME_BYTES, Ring
from broadcaster.air.sides import Side, with_side
from broadcaster.clock import Clock
from broadcaster.errors import StationError
from broadcaster.quiet import quiet_libraries
from broadcaster.units import RATE

PULSE_DELAY_S = 0.07
"""From the moment when PulseAudio asks for a frame until it is heard, before the server has told.
Measured at the monitor of a sink that takes 10 ms at a time: 60 to 70 ms."""
OTHER_DELAY_S = PERIOD_S
"""The same with other sound systems: a period (common practice, no source)."""
DELAYS = 3
"""Of so many that the server told last the middle one counts: now and then one is far off."""


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


class DeviceOutput:
    """A sound device. It is named when opened, so that a lost one is noticed, not swapped."""

    def __init__(self, device: Device, why: str, clock: Clock, side: Side | None = None) -> None:
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
