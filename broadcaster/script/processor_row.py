"""What a processor's row in a sound's table has: a kind, levels, bands and slopes."""

import re
from typing import Annotated, ClassVar

from pydantic import AfterValidator, BeforeValidator, Field

from broadcaster.errors import UnreadableError
from broadcaster.script.forms import Form
from broadcaster.script.names import clipped
from broadcaster.script.shapes import Shape
from broadcaster.script.values import Decibels, hertz

FREQUENCY = r"[0-9]{1,9}(?:\.[0-9]{1,9})?\s*(?:Hz|kHz|MHz)"
"""How one is written, as a pattern."""
_EDGES = re.compile(r"(.+?)\s+to\s+(.+)")
_LOWEST_HZ, _HIGHEST_HZ = 20.0, 20_000.0
_SLOPES_DB = (6.0, 12.0, 18.0, 24.0, 36.0, 48.0)


def band_edges(value: object) -> tuple[float, float]:
    """`300 Hz to 3.4 kHz`, as (300.0, 3400.0): within 20 Hz to 20 kHz, an octave wide at least."""
    edges = value if isinstance(value, tuple) else _written_edges(str(value).strip())
    low_hz, high_hz = (hertz(edge) for edge in edges)
    if low_hz > high_hz:
        raise UnreadableError(
            "The higher edge stands first.", f"Write it as `{edges[1]} to {edges[0]}`."
        )
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


BandEdges = Annotated[
    tuple[float, float],
    BeforeValidator(band_edges),
    Shape(rf"\s*{FREQUENCY}\s+to\s+{FREQUENCY}\s*", "300 Hz to 3.4 kHz"),
]
Slope = Annotated[
    Decibels,
    AfterValidator(_makeable_slope),
    Shape(rf"(?:{'|'.join(f'{slope_db:g}' for slope_db in _SLOPES_DB)})(?:\.0+)?\s*dB", "12 dB"),
]
Level = Annotated[Decibels, Field(ge=-120, le=0)]


class ProcessorRow(Form):
    """One processor in a sound's table. Its first key is its kind."""

    kind: ClassVar[str]
    """The key that makes a mapping this processor."""
