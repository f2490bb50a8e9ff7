"""Outputs: each takes frames out of the ring at its own pace, from a thread of its own.

`silent` has no device and is paced by the clock, `file:PATH` writes a WAV file at the same pace,
and a device is paced by its sound card. An output only copies; where the ring runs short, a device
gets the carrier's static instead of silence, and it is counted. `, left` or `, right` behind any of
them takes one of its two channels only.
"""

from typing import Protocol

from broadcaster.air.device_outputs import DeviceOutput, devices
from broadcaster.air.paced_outputs import FileOutput, SilentOutput
from broadcaster.air.ring import Ring
from broadcaster.air.sides import Side, without_side
from broadcaster.clock import Clock
from broadcaster.errors import StationError, UsageError, path_to_write
from broadcaster.script.names import nearest_name


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
        return FileOutput(path_to_write(name.removeprefix("file:"), ".wav"), clock, side)
    if name == "auto":
        return _automatic(clock, side)
    found = list(devices())
    named = [device for device in found if device.name == name]
    if not named:
        names = [device.name for device in found]
        near = nearest_name(name, [*names, "silent", "auto"])
        raise UsageError(
            f"There is no output {name!r}. {near}{' ' if near else ''}Sound devices here: "
            f"{', '.join(map(repr, names)) or 'none'}; "
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
