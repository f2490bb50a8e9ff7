"""Rows of a sound's table for what happens on the way through the ether."""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Annotated, ClassVar

from pydantic import BeforeValidator, Field

from broadcaster.errors import UnreadableError
from broadcaster.script.durations import DURATION
from broadcaster.script.names import clipped, known_names
from broadcaster.script.processor_row import FREQUENCY, BandEdges, Level, ProcessorRow
from broadcaster.script.shapes import Shape
from broadcaster.script.values import Decibels, Factor, Hertz, Seconds, YesNo, hertz, seconds


@dataclass(frozen=True, slots=True)
class TwoPaths:
    """How far two ways through the ionosphere differ, and how restless they are."""

    delay_s: float
    """By how much the second way is later than the first."""
    spread_hz: float
    """Twice the standard deviation of the Doppler spectrum of each."""


NAMED_PATHS: Mapping[str, TwoPaths] = MappingProxyType(
    {
        # Rec. ITU-R F.1487 (2000), Annex 3: the test conditions
        "low-latitude quiet": TwoPaths(0.5e-3, 0.5),
        "low-latitude moderate": TwoPaths(2e-3, 1.5),
        "low-latitude disturbed": TwoPaths(6e-3, 10.0),
        "mid-latitude quiet": TwoPaths(0.5e-3, 0.1),
        "mid-latitude moderate": TwoPaths(1e-3, 0.5),
        "mid-latitude disturbed": TwoPaths(2e-3, 1.0),
        "mid-latitude disturbed near-vertical": TwoPaths(7e-3, 1.0),
        "high-latitude quiet": TwoPaths(1e-3, 0.5),
        "high-latitude moderate": TwoPaths(3e-3, 10.0),
        "high-latitude disturbed": TwoPaths(7e-3, 30.0),
        # Rec. ITU-R F.520-2 (1992, withdrawn)
        "good": TwoPaths(0.5e-3, 0.1),
        "moderate": TwoPaths(1e-3, 0.5),
        "poor": TwoPaths(2e-3, 1.0),
        "flutter fading": TwoPaths(0.5e-3, 10.0),
    }
)
_OWN_PATHS = re.compile(r"(.+?)\s+and\s+(.+)")
_LONGEST_DELAY_S = 0.02
_SPREADS_HZ = (0.01, 50.0)
_FARTHEST_HZ = 1000.0
_OFFSET = re.compile(r"([+-]?)\s*(.+)")


def two_paths(value: object) -> TwoPaths:
    """`mid-latitude moderate`, or an own delay and spread: `1.5 ms and 0.4 Hz`."""
    if isinstance(value, TwoPaths):
        return value
    text = str(value).strip()
    if text in NAMED_PATHS:
        return NAMED_PATHS[text]
    own = _OWN_PATHS.fullmatch(text)
    if not own:
        raise UnreadableError(
            f"No paths are called {clipped(text)}.",
            f"{known_names(text, NAMED_PATHS)} Write their own as `1 ms and 0.5 Hz`.".strip(),
        )
    paths = TwoPaths(seconds(own[1]), hertz(own[2]))
    lowest_hz, highest_hz = _SPREADS_HZ
    if paths.delay_s > _LONGEST_DELAY_S or not lowest_hz <= paths.spread_hz <= highest_hz:
        raise UnreadableError(
            f"Paths of {clipped(text)} cannot be made.",
            f"Keep the delay up to {_LONGEST_DELAY_S * 1e3:g} ms and the spread within "
            f"{lowest_hz:g} Hz to {highest_hz:g} Hz.",
        )
    return paths


def offset_hertz(value: object) -> float:
    """`80 Hz` or `+80 Hz` too high, `-80 Hz` too low; 1 kHz at the farthest."""
    if isinstance(value, int | float) and not isinstance(value, bool):
        offset_hz = float(value)
    else:
        sign, size = _OFFSET.findall(str(value).strip() or " ")[0]
        offset_hz = hertz(size) * (-1.0 if sign == "-" else 1.0)
    if abs(offset_hz) > _FARTHEST_HZ:
        raise UnreadableError(
            f"An offset of {offset_hz:g} Hz is too far off.",
            f"From -{_FARTHEST_HZ:g} Hz to {_FARTHEST_HZ:g} Hz is allowed.",
        )
    return offset_hz


class EtherRow(ProcessorRow):
    """One of the processors of this page."""


class Paths(EtherRow):
    """Two ways through the ionosphere, each fading on its own: single notes sink and return."""

    kind: ClassVar[str] = "paths"
    paths: Annotated[
        TwoPaths,
        BeforeValidator(two_paths),
        Shape(rf"{'|'.join(NAMED_PATHS)}|{DURATION}\s+and\s+{FREQUENCY}", "mid-latitude moderate"),
    ]
    """A condition of Rec. ITU-R F.1487 or F.520 by its name, or a delay and a Doppler spread."""
    depth: Annotated[Factor, Field(gt=0, le=1)] = 1.0
    """How much of the amplitude fades, at most: 1 is the standard's Rayleigh fading."""


class Static(EtherRow):
    """Lightning and sparks: impulsive noise after Middleton's class A."""

    kind: ClassVar[str] = "static"
    static: Level
    """Its RMS against full scale."""
    index: Annotated[Factor, Field(ge=0.0001, le=10)] = 0.01
    """A: how many impulses are under way at once, on average."""
    gaussian: Annotated[Factor, Field(ge=0.0001, le=10)] = 0.01
    """Gamma: the power of the steady noise between impulses against that of the impulses."""
    length: Annotated[Seconds, Field(ge=0, le=0.5)] = 0.002
    """Of one impulse; a single frame at least."""
    band: BandEdges | None = None
    """Where it lies; without it, everywhere."""


class Whistle(EtherRow):
    """Another carrier nearby beats with ours."""

    kind: ClassVar[str] = "whistle"
    whistle: Level
    """Its RMS against full scale."""
    pitch: Annotated[Hertz, Field(ge=20, le=15_000)] = 1000.0
    """How far the two carriers are apart."""
    wander: Annotated[Hertz, Field(le=500)] = 8.0
    """How far the pitch strays: its standard deviation."""
    swell: Annotated[Decibels, Field(ge=0, le=12)] = 3.0
    """How far the level strays: its standard deviation."""


class Mistuning(EtherRow):
    """A single-sideband receiver that is not quite on the frequency."""

    kind: ClassVar[str] = "mistuning"
    mistuning: Annotated[
        float, BeforeValidator(offset_hertz), Shape(rf"[+-]?\s*{FREQUENCY}", "-80 Hz")
    ]
    """By how much every frequency comes out too high, or with a minus too low: up to 1 kHz."""
    drift: Annotated[Hertz, Field(le=50)] = 1.0
    """How far it strays from there: its standard deviation."""


class Murmur(EtherRow):
    """A neighbouring station: someone speaks, and not one word of it can be made out."""

    kind: ClassVar[str] = "murmur"
    murmur: Level
    """Its RMS against full scale, pauses and all."""
    band: BandEdges = (200.0, 2000.0)
    """What of it comes through."""
    inverted: YesNo = False
    """Upside down, as the wrong sideband is heard."""


class Carrier(EtherRow):
    """A carrier that quietens the noise of an empty channel, and now and then drops out."""

    kind: ClassVar[str] = "carrier"
    carrier: Level
    """The RMS of the noise while no carrier is there, against full scale."""
    quieting: Annotated[Decibels, Field(ge=0, le=80)] = 30.0
    """By how much the carrier lowers the noise."""
    every: Annotated[Seconds, Field(ge=0.5, le=3600)] = 60.0
    """The time from one dropout to the next, on average."""
    length: Annotated[Seconds, Field(ge=0.02, le=5)] = 0.2
    """Of the middle dropout."""
    keyed: Annotated[Seconds, Field(ge=0.1, le=60)] | None = None
    """The sender's key: the carrier comes up with speech, and so long after it drops away. Such a
    row stands before whatever adds noise."""
    band: BandEdges = (200.0, 5000.0)
    """Where the noise of the empty channel lies."""


AnyEtherRow = Paths | Static | Whistle | Mistuning | Murmur | Carrier
