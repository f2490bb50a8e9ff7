"""Period sounds: a table of processors and numbers, each with its source or `chosen by ear`.

A processor is written as an item is: its first key is its kind, further keys are its options. The
order of the table is the order in which the broadcast passes through.
"""

import re
from typing import Annotated, ClassVar

from pydantic import AfterValidator, BeforeValidator, Discriminator, Field, Tag

from broadcaster.errors import UnreadableError
from broadcaster.script.forms import Form
from broadcaster.script.names import clipped
from broadcaster.script.values import Decibels, Hertz, Seconds, hertz

_EDGES = re.compile(r"(.+?)\s+to\s+(.+)")
_LOWEST_HZ, _HIGHEST_HZ = 20.0, 20_000.0
_SLOPES_DB = (6.0, 12.0, 18.0, 24.0, 36.0, 48.0)


def band_edges(value: object) -> tuple[float, float]:
    """`300 Hz to 3.4 kHz`, as (300.0, 3400.0): within 20 Hz to 20 kHz, an octave wide at least."""
    edges = value if isinstance(value, tuple) else _written_edges(str(value).strip())
    low_hz, high_hz = (hertz(edge) for edge in edges)
    if low_hz < _LOWEST_HZ or high_hz > _HIGHEST_HZ or high_hz < 2.0 * low_hz:
        raise UnreadableError(
            f"A band from {low_hz:g} Hz to {high_hz:g} Hz cannot be made.",
            "Keep it within 20 Hz to 20 kHz and at least an octave wide.",
        )
    return low_hz, high_hz


def _written_edges(text: str) -> tuple[str, str]:
    found = _EDGES.fullmatch(text)
    if not found:
        raise UnreadableError(f"{clipped(text)} is not a band.", "Write it as `300 Hz to 3.4 kHz`.")
    return found[1], found[2]


def _makeable_slope(slope_db: float) -> float:
    if slope_db not in _SLOPES_DB:
        raise UnreadableError(
            f"A slope of {slope_db:g} dB an octave cannot be made.",
            "Make it 6, 12, 18, 24, 36 or 48 dB.",
        )
    return slope_db


BandEdges = Annotated[tuple[float, float], BeforeValidator(band_edges)]
Slope = Annotated[Decibels, AfterValidator(_makeable_slope)]
Level = Annotated[Decibels, Field(ge=-120, le=0)]


class ProcessorRow(Form):
    """One processor in a sound's table. Its first key is its kind."""

    kind: ClassVar[str]
    """The key that makes a mapping this processor."""


class Band(ProcessorRow):
    """What gets through, between two edges at -3 dB (Butterworth)."""

    kind: ClassVar[str] = "band"
    band: BandEdges
    slope: Slope = 24.0
    """How steeply it falls beyond each edge, in dB an octave."""


class Saturation(ProcessorRow):
    """A valve or a modulator driven hard: soft sounds come up, full scale stays full scale."""

    kind: ClassVar[str] = "saturation"
    saturation: Annotated[Decibels, Field(ge=0, le=40)]
    """How far the soundest of it is driven into the bend."""


class Fading(ProcessorRow):
    """Reception that comes and goes."""

    kind: ClassVar[str] = "fading"
    fading: Annotated[Decibels, Field(gt=0, le=40)]
    """The deepest fade; everything from there up to no loss is equally likely, in dB."""
    rate: Annotated[Hertz, Field(ge=0.005, le=20)] = 0.1
    """Fades a second, on average."""


class Hiss(ProcessorRow):
    """A steady bed of noise."""

    kind: ClassVar[str] = "hiss"
    hiss: Level
    """Its RMS against full scale."""
    band: BandEdges = (100.0, 5000.0)
    slope: Slope = 12.0
    """How steeply it falls beyond each edge, in dB an octave."""


class Crackle(ProcessorRow):
    """Single clicks of static, as thunderstorms far away make them."""

    kind: ClassVar[str] = "crackle"
    crackle: Level
    """The peak of the middle click against full scale; two of three lie within 6 dB of it."""
    every: Annotated[Seconds, Field(ge=0.005, le=600)] = 0.5
    """The time from one click to the next, on average."""
    band: BandEdges = (200.0, 6000.0)


class Hum(ProcessorRow):
    """The mains in the loudspeaker."""

    kind: ClassVar[str] = "hum"
    hum: Level
    """The RMS of all its lines together against full scale."""
    mains: Annotated[Hertz, Field(ge=15, le=400)] = 50.0
    harmonics: tuple[Decibels, ...] = (0.0, -8.0, -14.0)
    """Levels of twice, three times, ... the mains against the first line."""


def kind_of(written: object) -> str | None:
    """The kind of a processor, or of a mapping that is to become one: its first key."""
    if isinstance(written, ProcessorRow):
        return written.kind
    return next(iter(written), None) if isinstance(written, dict) else None


AnyProcessor = Annotated[
    Annotated[Band, Tag("band")]
    | Annotated[Saturation, Tag("saturation")]
    | Annotated[Fading, Tag("fading")]
    | Annotated[Hiss, Tag("hiss")]
    | Annotated[Crackle, Tag("crackle")]
    | Annotated[Hum, Tag("hum")],
    Discriminator(kind_of),
]


class Sound(Form):
    """One period sound: what the studio, the way and the receiver do to the broadcast."""

    about: str
    """One line for `broadcaster sounds`."""
    processors: tuple[AnyProcessor, ...] = ()
    """What the broadcast passes through, in order."""
