"""Pictures as SVG: a sheet of paper, and what is drawn on it. A writer of our own, no library.

Lengths are in user units, about a pixel each. Labels are set in a typewriter face, every letter
of which is as wide as every other, so that what fits is known without a font.
"""

import os
from base64 import b64encode
from collections.abc import Sequence
from pathlib import Path
from xml.sax.saxutils import escape, quoteattr

from broadcaster.errors import UsageError

PAPER = "#f4eddc"
INK = "#25221d"
FAINT = "#a99f8b"
RULE = "#ddd2ba"
ALARM = "#a3221c"
"""The red of a logbook's corrections: only for what went wrong."""
COLOURS = ("#0a4f78", "#8f4400", "#00604a", "#7d3a6b", "#5c5a12", "#3a3f8f")
"""Inks that tell apart for people with any colour vision, dark enough for paper: shades of the
palette of Okabe and Ito ("Color Universal Design", 2008; the shades chosen by eye)."""
TINTS = ("#bcd4e3", "#f0d3ae", "#b9dbcd", "#e2c6d9", "#dfdca6", "#c9cbe8")
"""The same, pale, to write on."""

TYPEWRITER = "'Courier Prime', 'Courier New', 'DejaVu Sans Mono', monospace"
HEADLINE = "'Rockwell', 'Roboto Slab', 'DejaVu Serif', Georgia, serif"
LETTER_WIDTH = 0.602
"""Of a typewriter letter, in parts of its size (DejaVu Sans Mono; Courier's is 0.600)."""

Point = tuple[float, float]


def width_of(text: str, size: float) -> float:
    """How wide a label is."""
    return len(text) * size * LETTER_WIDTH


def fitted(text: str, width: float, size: float) -> str:
    """A label, shortened with an ellipsis to fit a width; empty if not even two letters do."""
    room = int(width / (size * LETTER_WIDTH))
    if len(text) <= room:
        return text
    return text[: room - 1].rstrip() + "…" if room >= 3 else ""


class Sheet:
    """A sheet on which marks are put, the later ones over the earlier."""

    def __init__(self, width: float, height: float, title: str) -> None:
        self.width = width
        self.height = height
        self._title = title
        self._marks: list[str] = []

    def rect(
        self,
        corner: Point,
        size: Point,
        *,
        fill: str = "none",
        stroke: str = "none",
        thick: float = 1.0,
        round_: float = 0.0,
        dash: str = "",
        tip: str = "",
    ) -> None:
        """A rectangle, by its upper left corner. `tip`: what a viewer shows under the pointer."""
        (x, y), (width, height) = corner, size
        shape = f'x="{x:.1f}" y="{y:.1f}" width="{max(0.0, width):.1f}" height="{height:.1f}"'
        rounding = f' rx="{round_:g}"' if round_ else ""
        self._mark("rect", f"{shape}{rounding}{_paint(fill, stroke, thick, dash)}", tip)

    def line(
        self,
        points: Sequence[Point],
        *,
        stroke: str = INK,
        thick: float = 1.0,
        dash: str = "",
        round_: float = 0.0,
        tip: str = "",
    ) -> None:
        """Straight from point to point; with rounded corners of that radius, if any."""
        path = _path(points, round_)
        self._mark("path", f'd="{path}"{_paint("none", stroke, thick, dash)}', tip)

    def shape(
        self,
        points: Sequence[Point],
        *,
        fill: str = INK,
        stroke: str = "none",
        thick: float = 1.0,
        tip: str = "",
    ) -> None:
        """A filled shape with straight sides."""
        path = _path(points, 0.0) + "Z"
        self._mark("path", f'd="{path}"{_paint(fill, stroke, thick, "")}', tip)

    def dot(
        self,
        centre: Point,
        radius: float,
        *,
        fill: str = INK,
        stroke: str = "none",
        thick: float = 1.0,
        tip: str = "",
    ) -> None:
        """A circle."""
        (x, y) = centre
        place = f'cx="{x:.1f}" cy="{y:.1f}" r="{radius:.1f}"'
        self._mark("circle", place + _paint(fill, stroke, thick, ""), tip)

    def text(
        self,
        place: Point,
        words: str,
        *,
        size: float = 12.0,
        fill: str = INK,
        anchor: str = "start",
        bold: bool = False,
        italic: bool = False,
        face: str = TYPEWRITER,
        halo: bool = False,
    ) -> None:
        """Words on a base line that begins (or ends, or has its middle) at a place. `halo`: the
        paper shows around them, over what they cross.
        """
        (x, y) = place
        style = f'x="{x:.1f}" y="{y:.1f}" font-size="{size:g}" fill="{fill}"'
        style += f' font-family="{face}"'
        style += f' text-anchor="{anchor}"' if anchor != "start" else ""
        style += ' font-weight="bold"' if bold else ""
        style += ' font-style="italic"' if italic else ""
        style += f' stroke="{PAPER}" stroke-width="4" paint-order="stroke"' if halo else ""
        self._marks.append(f'<text xml:space="preserve" {style}>{escape(words)}</text>')

    def image(self, corner: Point, size: Point, png: bytes) -> None:
        """A PNG, stretched to a size; it is kept within the SVG."""
        (x, y), (width, height) = corner, size
        shape = f'x="{x:.1f}" y="{y:.1f}" width="{width:.1f}" height="{height:.1f}"'
        data = f"data:image/png;base64,{b64encode(png).decode('ascii')}"
        self._mark("image", f'{shape} preserveAspectRatio="none" href="{data}"', "")

    def arrow_head(self, tip: Point, direction: Point, *, fill: str = INK, size: float = 8) -> None:
        """A filled head whose tip is at a point; direction: one of (1, 0), (-1, 0), (0, 1), ..."""
        (x, y), (dx, dy) = tip, direction
        back = (x - dx * size, y - dy * size)
        half = size * 0.45
        sides = (
            (back[0] - dy * half, back[1] + dx * half),
            (back[0] + dy * half, back[1] - dx * half),
        )
        self.shape([tip, *sides], fill=fill)

    def svg(self) -> str:
        """The picture as a text."""
        size = f'width="{self.width:.0f}" height="{self.height:.0f}"'
        box = f'viewBox="0 0 {self.width:.0f} {self.height:.0f}"'
        title = escape(self._title)
        head = f'<svg xmlns="http://www.w3.org/2000/svg" {size} {box} role="img" aria-label='
        return "\n".join(
            [
                f"{head}{quoteattr(self._title)}>",
                f"<title>{title}</title>",
                f'<rect width="100%" height="100%" fill="{PAPER}"/>',
                *self._marks,
                "</svg>\n",
            ]
        )

    def _mark(self, name: str, attributes: str, tip: str) -> None:
        inside = f"><title>{escape(tip)}</title></{name}>" if tip else "/>"
        self._marks.append(f"<{name} {attributes}{inside}")


def _paint(fill: str, stroke: str, thick: float, dash: str) -> str:
    line = f' stroke="{stroke}" stroke-width="{thick:g}"' if stroke != "none" else ""
    dashes = f' stroke-dasharray="{dash}"' if dash else ""
    return f' fill="{fill}"{line}{dashes}'


def _path(points: Sequence[Point], radius: float) -> str:
    """Straight lines; where they turn, a corner of that radius."""
    (x, y), *rest = points
    parts = [f"M{x:.1f} {y:.1f}"]
    for here, before, after in zip(rest, points, [*rest[1:], None], strict=False):
        if after is None or not radius:
            parts.append(f"L{here[0]:.1f} {here[1]:.1f}")
            continue
        near, far = _towards(here, before, radius), _towards(here, after, radius)
        parts.append(f"L{near[0]:.1f} {near[1]:.1f}Q{here[0]:.1f} {here[1]:.1f}")
        parts.append(f"{far[0]:.1f} {far[1]:.1f}")
    return " ".join(parts)


def _towards(start: Point, goal: Point, distance: float) -> Point:
    """The point so far from the start, but at most half the way to the goal."""
    dx, dy = goal[0] - start[0], goal[1] - start[1]
    length = (dx * dx + dy * dy) ** 0.5
    part = min(distance, length / 2) / length if length else 0.0
    return start[0] + dx * part, start[1] + dy * part


def write_picture(sheet: Sheet, path: Path) -> None:
    """Write the picture; the file appears whole or not at all. Raises UsageError."""
    part = path.with_name(path.name + ".part")
    try:
        part.write_text(sheet.svg(), encoding="utf-8")
        os.replace(part, path)
    except OSError as error:
        raise UsageError(f"Cannot write {path}: {error.strerror}.") from error
