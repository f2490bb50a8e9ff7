"""Rows for what the studio, the tape, the wire and the set itself do to the broadcast."""

import re
from typing import Annotated, ClassVar

from pydantic import BeforeValidator, Field

from broadcaster.script.meant import not_an_amount
from broadcaster.script.processor_row import BandEdges, Level, ProcessorRow
from broadcaster.script.shapes import Shape
from broadcaster.script.values import Decibels, Hertz, Seconds, Unit

_PERCENT = re.compile(r"([0-9]{1,3}(?:\.[0-9]{1,9})?)\s*%")
_MICROSECONDS = re.compile(r"([0-9]{1,5})\s*us")


def share(value: object) -> float:
    """`0.3 %`, as 0.003."""
    if isinstance(value, float):
        return value
    found = _PERCENT.fullmatch(str(value).strip())
    if not found:
        raise not_an_amount(str(value), "a share", ("%",), "0.3 %")
    return float(found[1]) / 100.0


def time_constant(value: object) -> float:
    """`50 us`, as 0.00005 seconds."""
    if isinstance(value, float):
        return value
    found = _MICROSECONDS.fullmatch(str(value).strip())
    if not found:
        raise not_an_amount(str(value), "a time constant in microseconds", ("us",), "50 us")
    return float(found[1]) * 1e-6


Share = Annotated[
    float,
    BeforeValidator(share),
    Unit(lambda value: f"{100 * value:g} %"),
    Shape(_PERCENT.pattern, "0.3 %"),
]
TimeConstant = Annotated[
    float,
    BeforeValidator(time_constant),
    Unit(lambda value: f"{1e6 * value:g} us"),
    Shape(_MICROSECONDS.pattern, "50 us"),
    Field(ge=1e-6, le=0.01),
]


class SetRow(ProcessorRow):
    """One of the processors of this page."""


class PreEmphasis(SetRow):
    """Treble lifted ahead of what adds noise."""

    kind: ClassVar[str] = "pre emphasis"
    pre_emphasis: TimeConstant
    """The time constant: `50 us` in Europe, `75 us` in America."""


class DeEmphasis(SetRow):
    """Treble brought back behind what added noise."""

    kind: ClassVar[str] = "de emphasis"
    de_emphasis: TimeConstant
    """The time constant: that of the pre emphasis."""


class OverModulation(SetRow):
    """A modulator driven past what it can send: peaks are cut off hard."""

    kind: ClassVar[str] = "over modulation"
    over_modulation: Annotated[Decibels, Field(ge=0, le=40)]
    """How far full scale is driven over the edge."""


class AutomaticGain(SetRow):
    """A slow hand on the gain: soft passages come up, and so does the noise between them."""

    kind: ClassVar[str] = "automatic gain"
    automatic_gain: Annotated[Decibels, Field(gt=0, le=60)]
    """How much it makes up at most."""
    level: Annotated[Decibels, Field(ge=-60, le=0)] = -10.0
    """The peak level that it holds."""
    attack: Annotated[Seconds, Field(ge=0.001, le=10)] = 0.05
    """The time in which it follows a rise of 20 dB."""
    recovery: Annotated[Seconds, Field(ge=0.01, le=60)] = 1.0
    """The time in which it follows a fall of 20 dB."""


class Companding(SetRow):
    """Noise that breathes: it comes and goes with the programme."""

    kind: ClassVar[str] = "companding"
    companding: Level
    """The noise's RMS against the programme's own, as it is at the moment."""
    band: BandEdges = (200.0, 5000.0)
    """Where it lies."""
    attack: Annotated[Seconds, Field(ge=0.001, le=10)] = 0.005
    """The time in which it follows a rise of 20 dB."""
    recovery: Annotated[Seconds, Field(ge=0.01, le=60)] = 0.15
    """The time in which it follows a fall of 20 dB."""


class Flutter(SetRow):
    """A tape that does not run evenly: slow wow and quick flutter."""

    kind: ClassVar[str] = "flutter"
    flutter: Annotated[Share, Field(ge=0, le=0.05)]
    """The quick part: how far the speed swings either way, at its peak."""
    rate: Annotated[Hertz, Field(ge=4, le=50)] = 9.0
    """How often the quick part swings."""
    wow: Annotated[Share, Field(ge=0, le=0.05)] = 0.0
    """The slow part: how far the speed swings either way, at its peak."""
    wow_rate: Annotated[Hertz, Field(ge=0.1, le=6)] = 0.6
    """How often the slow part swings."""


class Dropouts(SetRow):
    """Spots of a worn tape from which hardly anything is read."""

    kind: ClassVar[str] = "dropouts"
    dropouts: Annotated[Decibels, Field(gt=0, le=60)]
    """The loss in a middle one; in others it is less or more."""
    every: Annotated[Seconds, Field(ge=0.05, le=600)] = 3.0
    """The time from one to the next, on average."""
    length: Annotated[Seconds, Field(ge=0.005, le=1)] = 0.06
    """How long each lasts, from half the loss to half the loss."""


class KeyClicks(SetRow):
    """Clicks wherever sound begins or ends abruptly, as a key or a switch makes them."""

    kind: ClassVar[str] = "key clicks"
    key_clicks: Annotated[Decibels, Field(ge=-80, le=12)]
    """The peak of a click against that of the sound that begins or ends."""
    band: BandEdges = (300.0, 6000.0)
    """What a click is made of."""


class Carbon(SetRow):
    """A carbon microphone: loud speech bends its current to one side."""

    kind: ClassVar[str] = "carbon"
    carbon: Annotated[Share, Field(gt=0, le=0.8)]
    """By how much full scale changes the resistance of its grains."""


class Ring(SetRow):
    """Speech that is multiplied by a low tone, as a machine speaks."""

    kind: ClassVar[str] = "ring"
    ring: Annotated[Hertz, Field(ge=5, le=2000)]
    """The frequency of the tone."""
    mix: Annotated[Share, Field(gt=0, le=1)] = 0.5
    """How much of what is heard is multiplied; the rest is as it was."""


class Comb(SetRow):
    """A few quick echoes, each softer than the last: a pipe, a horn, a hall of iron."""

    kind: ClassVar[str] = "comb"
    comb: Annotated[Seconds, Field(ge=0.001, le=0.5)]
    """The time from one echo to the next."""
    loss: Annotated[Decibels, Field(gt=0, le=40)] = 4.0
    """By how much each echo is softer than the one before it."""


AnySetRow = (
    PreEmphasis
    | DeEmphasis
    | OverModulation
    | AutomaticGain
    | Companding
    | Flutter
    | Dropouts
    | KeyClicks
    | Carbon
    | Ring
    | Comb
)
"""Any of them."""
