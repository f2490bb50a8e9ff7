"""Period sounds: a table of processors and numbers, each with its source or `chosen by ear`.

A processor is written as an item is: its first key is its kind, further keys are its options. The
order of the table is the order in which the broadcast passes through.
"""

from typing import Annotated, ClassVar, Literal

from pydantic import AfterValidator, Discriminator, Field, Tag

from broadcaster.errors import UnreadableError
from broadcaster.script import sounds_ether, sounds_set
from broadcaster.script.forms import Form
from broadcaster.script.processor_row import BandEdges, Level, ProcessorRow, Slope
from broadcaster.script.shapes import Shape
from broadcaster.script.values import Decibels, Hertz, Seconds, written_hertz


def _public_mains(frequency_hz: float) -> float:
    if frequency_hz not in (50.0, 60.0):
        raise UnreadableError(
            f"No mains has {written_hertz(frequency_hz)}.", "Write `50 Hz` or `60 Hz`."
        )
    return frequency_hz


Mains = Annotated[Hertz, AfterValidator(_public_mains), Shape(r"(?:50|60)(?:\.0+)?\s*Hz", "50 Hz")]


class Band(ProcessorRow):
    """What gets through, between two edges at -3 dB (Butterworth)."""

    kind: ClassVar[str] = "band"
    band: BandEdges
    """Both edges: `300 Hz to 3.4 kHz`."""
    slope: Slope = 24.0
    """How steeply it falls beyond each edge in an octave: 6, 12, 18, 24, 36 or 48 dB."""


class Saturation(ProcessorRow):
    """A valve or a modulator driven hard: soft sounds come up, full scale stays full scale."""

    kind: ClassVar[str] = "saturation"
    saturation: Annotated[Decibels, Field(ge=0, le=40)]
    """How far the loudest of it is driven into the bend."""


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
    """Where it lies."""
    slope: Slope = 12.0
    """How steeply it falls beyond each edge in an octave: 6, 12, 18, 24, 36 or 48 dB."""
    colour: Literal["white", "pink", "brown"] = "white"
    """How it leans within its band: pink falls by 3 dB an octave, brown by 6 dB."""

    @property
    def tilt_db(self) -> float:
        """Its colour as a rise in dB an octave: powers of 1, 1 / f and 1 / f^2."""
        return {"white": 0.0, "pink": -3.0103, "brown": -6.0206}[self.colour]


class Crackle(ProcessorRow):
    """Single clicks of static, as thunderstorms far away make them."""

    kind: ClassVar[str] = "crackle"
    crackle: Level
    """The peak of the middle click against full scale; two of three lie within 6 dB of it."""
    every: Annotated[Seconds, Field(ge=0.005, le=600)] = 0.5
    """The time from one click to the next, on average."""
    band: BandEdges = (200.0, 6000.0)
    """What a click is made of."""


class Hum(ProcessorRow):
    """The mains in the loudspeaker."""

    kind: ClassVar[str] = "hum"
    hum: Level
    """The RMS of all its lines together against full scale."""
    mains: Mains = 50.0
    """The frequency of the mains: 50 or 60 Hz."""
    harmonics: tuple[Decibels, ...] = (0.0, -8.0, -14.0)
    """Levels of twice, three times, ... the mains against the first line: `[-8 dB, -14 dB]`."""


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
    | Annotated[Hum, Tag("hum")]
    | Annotated[sounds_ether.Paths, Tag("paths")]
    | Annotated[sounds_ether.Static, Tag("static")]
    | Annotated[sounds_ether.Whistle, Tag("whistle")]
    | Annotated[sounds_ether.Mistuning, Tag("mistuning")]
    | Annotated[sounds_ether.Murmur, Tag("murmur")]
    | Annotated[sounds_ether.Carrier, Tag("carrier")]
    | Annotated[sounds_set.PreEmphasis, Tag("pre emphasis")]
    | Annotated[sounds_set.DeEmphasis, Tag("de emphasis")]
    | Annotated[sounds_set.OverModulation, Tag("over modulation")]
    | Annotated[sounds_set.AutomaticGain, Tag("automatic gain")]
    | Annotated[sounds_set.Companding, Tag("companding")]
    | Annotated[sounds_set.Flutter, Tag("flutter")]
    | Annotated[sounds_set.Dropouts, Tag("dropouts")]
    | Annotated[sounds_set.KeyClicks, Tag("key clicks")]
    | Annotated[sounds_set.Carbon, Tag("carbon")]
    | Annotated[sounds_set.Ring, Tag("ring")]
    | Annotated[sounds_set.Comb, Tag("comb")],
    Discriminator(kind_of),
]


class Sound(Form):
    """One period sound: what the studio, the way and the receiver do to the broadcast."""

    about: str
    """One line for `broadcaster sounds`."""
    processors: tuple[AnyProcessor, ...] = ()
    """What the broadcast passes through, in order."""
