"""What goes out of the station itself and its output.

Frames are counts of units.RATE since the station started.
"""

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class StationOpened:
    """Frame 0: what is playing where, and when by the wall clock."""

    programme: str
    callsign: str
    seed: int
    output: str
    why: str
    wall: str


@dataclass(frozen=True, slots=True)
class OutputStarted:
    """The output began to take frames, the first of them this one, at this time of day."""

    frame: int
    wall: str


@dataclass(frozen=True, slots=True)
class SettingsRead:
    """From which file the desk has the venue's settings, and what they open. In a sentence."""

    frame: int
    sentence: str


@dataclass(frozen=True, slots=True)
class Trouble:
    """Something failed and was covered; the broadcast went on. In a sentence."""

    frame: int
    sentence: str


@dataclass(frozen=True, slots=True)
class OutputState:
    """How the output is doing: a few times a second."""

    frame: int
    """Frames produced so far."""
    heard_frame: int
    """The frame that is at the loudspeaker at `moment_s`, as near as the output can tell."""
    output: str
    playing: bool
    underruns: int
    buffered_frames: int
    peak_dbfs: float
    rms_dbfs: float
    moment_s: float = 0.0
    """By the clock of the machine, which its processes share: seconds since it was started."""
    delay_s: float = 0.0
    """How long a frame that the output took is on its way to the loudspeaker."""


@dataclass(frozen=True, slots=True)
class StationClosed:
    """The last thing a station says; the broadcast was this many frames long."""

    frame: int
    underruns: int = 0
    """How often its output had to do without it."""
    trouble: str = ""
    """What its output could not do at the end, in a sentence."""
