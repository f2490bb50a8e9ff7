"""The marks of a session's chart: what a stretch of time or a moment looks like."""

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from broadcaster.rehearsal import picture_svg as ink
from broadcaster.rehearsal.picture_svg import Sheet, fitted, width_of
from broadcaster.units import RATE

SIZE = 11.5
MARK = 5.5
HELD = "#e6dcc3"
"""The paper of a stretch in which the session was held."""
MINUTE = 60 * RATE
STEPS_MIN = (1, 2, 5, 10, 15, 30, 60)
"""How many minutes may lie between two figures of the axis."""
LEAST_STEP = 56.0
"""How far apart they are at least."""


@dataclass(frozen=True, slots=True)
class Label:
    """Words at a moment."""

    frame: int
    text: str


def cross(sheet: Sheet, x: float, y: float) -> None:
    """Something that went wrong."""
    for stroke, thick in ((ink.PAPER, 4.8), (ink.ALARM, 2.4)):
        for slope in (-1, 1):
            points = [(x - 4.5, y - 4.5 * slope), (x + 4.5, y + 4.5 * slope)]
            sheet.line(points, stroke=stroke, thick=thick)


def due_mark(sheet: Sheet, x: float, y: float) -> None:
    """A milestone's target time."""
    points = [(x - MARK, y - MARK), (x + MARK, y - MARK), (x, y + MARK)]
    sheet.shape(points, fill=ink.PAPER, stroke=ink.INK, thick=1.5)


def hint_mark(sheet: Sheet, x: float, y: float) -> None:
    """A milestone's hint time."""
    points = [(x, y - MARK), (x + MARK, y), (x, y + MARK), (x - MARK, y)]
    sheet.shape(points, fill=ink.PAPER, stroke=ink.INK, thick=1.5)


def met_mark(sheet: Sheet, x: float, y: float) -> None:
    """A milestone that is met."""
    sheet.dot((x, y), MARK, fill=ink.COLOURS[2], stroke=ink.PAPER)


def overdue_mark(sheet: Sheet, start: float, end: float, y: float) -> None:
    """A milestone that is late, for so long."""
    sheet.line([(start, y), (end, y)], stroke=ink.ALARM, thick=3.2, dash="3 2.4")


class Chart:
    """A sheet with a time axis: `frames` of time over a width that begins at `left`."""

    def __init__(self, sheet: Sheet | None, left: float, width: float, frames: int) -> None:
        self._sheet = sheet
        self.left = left
        self.width = width
        self.frames = frames

    def on(self, sheet: Sheet) -> "Chart":
        """The same axis, on a sheet to draw on."""
        return Chart(sheet, self.left, self.width, self.frames)

    @property
    def sheet(self) -> Sheet:
        """What is drawn on."""
        if self._sheet is None:
            raise ValueError("the chart is not on a sheet yet")
        return self._sheet

    def x(self, frame: int) -> float:
        """Where a frame is."""
        return self.left + self.width * min(frame, self.frames) / self.frames

    def fits(self, text: str, start: int, end: int, size: float = SIZE) -> bool:
        """Whether words fit into a stretch of time."""
        return width_of(text, size) + 8 <= self.x(end) - self.x(start)

    def packed(self, labels: Sequence[Label]) -> list[tuple[Label, int]]:
        """Each label with the row in which it meets no other, the first possible."""
        ends: list[float] = []
        placed = []
        for label in sorted(labels, key=lambda label: label.frame):
            start = self._words_x(label.frame, label.text)
            row = next((row for row, end in enumerate(ends) if end < start), len(ends))
            ends[row : row + 1] = [start + width_of(label.text, SIZE) + 10]
            placed.append((label, row))
        return placed

    def minutes(self) -> Iterator[tuple[int, int]]:
        """The frames and minutes that get a figure."""
        step = next(
            (step for step in STEPS_MIN if self.width * step * MINUTE / self.frames >= LEAST_STEP),
            STEPS_MIN[-1],
        )
        for minute in range(0, self.frames // MINUTE + 1, step):
            yield minute * MINUTE, minute

    # --- stretches of time ---------------------------------------------------------------------

    def block(self, start: int, end: int, top: float, height: float, number: int, tip: str) -> None:
        """A segment on air."""
        x, width = self.x(start), max(2.0, self.x(end) - self.x(start))
        colour = number % len(ink.COLOURS)
        self.sheet.rect(
            (x, top), (width, height), fill=ink.TINTS[colour], stroke=ink.INK, thick=0.9, tip=tip
        )
        self.sheet.rect((x, top), (width, 4), fill=ink.COLOURS[colour])

    def bar(self, start: int, end: int, top: float, height: float, tip: str) -> None:
        """A clue on air."""
        width = max(2.0, self.x(end) - self.x(start) - 0.6)
        self.sheet.rect((self.x(start), top), (width, height), fill=ink.INK, tip=tip)

    def state(
        self, start: int, end: int, top: float, text: str, *, changed: bool, tip: str
    ) -> None:
        """A fact that holds a value; what it did not hold at first is on a tint."""
        x, width = self.x(start), self.x(end) - self.x(start)
        if changed:
            self.sheet.rect((x, top), (width, 16), fill=ink.TINTS[2], tip=tip)
        if start:
            self.sheet.line([(x, top - 1), (x, top + 17)], thick=1.6, tip=tip)
        words = fitted(text, width - 6, SIZE)
        fill = ink.INK if changed else "#6b6456"
        self.sheet.text((x + 5, top + 12), words, size=SIZE, bold=changed, fill=fill)

    def overdue(self, start: int, end: int, middle: float) -> None:
        """A milestone that is late."""
        overdue_mark(self.sheet, self.x(start), self.x(end), middle)

    def shade(self, start: int, end: int, top: float, bottom: float) -> None:
        """A stretch in which the session was held."""
        x, width = self.x(start), self.x(end) - self.x(start)
        self.sheet.rect((x, top), (width, bottom - top), fill=HELD)

    def baseline(self, middle: float) -> None:
        """A thin line through a row."""
        points = [(self.left, middle), (self.left + self.width, middle)]
        self.sheet.line(points, stroke=ink.RULE)

    def hair(self, frame: int, top: float, bottom: float) -> None:
        """A minute, through all rows."""
        x = self.x(frame)
        self.sheet.line([(x, top), (x, bottom)], stroke=ink.RULE, thick=0.8)

    # --- moments ---------------------------------------------------------------------------------

    def cross(self, frame: int, middle: float) -> None:
        """Something that went wrong."""
        cross(self.sheet, self.x(frame), middle)

    def due(self, frame: int, middle: float) -> None:
        """A milestone's target time."""
        if frame <= self.frames:
            due_mark(self.sheet, self.x(frame), middle)

    def hint_time(self, frame: int, middle: float) -> None:
        """A milestone's hint time."""
        if frame <= self.frames:
            hint_mark(self.sheet, self.x(frame), middle)

    def met(self, frame: int, middle: float) -> None:
        """A milestone that is met."""
        met_mark(self.sheet, self.x(frame), middle)

    def leader(self, frame: int, top: float, bottom: float) -> None:
        """From a moment down to its words."""
        x = self.x(frame)
        self.sheet.line([(x, top), (x, bottom)], stroke=ink.FAINT, thick=0.9)

    # --- words ----------------------------------------------------------------------------------

    def words(self, frame: int, base: float, text: str, *, alarm: bool = False) -> None:
        """Words at a moment; near the right edge they stand before it."""
        fill = ink.ALARM if alarm else ink.INK
        place = (self._words_x(frame, text), base)
        self.sheet.text(place, text, size=SIZE, fill=fill, halo=True)

    def centred(self, start: int, end: int, base: float, text: str) -> None:
        """Words in the middle of a stretch of time."""
        middle = (self.x(start) + self.x(end)) / 2
        self.sheet.text((middle, base), text, size=12, bold=True, anchor="middle")

    def margin(self, base: float, text: str, *, alarm: bool = False) -> None:
        """Words to the right of a row."""
        fill = ink.ALARM if alarm else ink.INK
        place = (self.left + self.width + 8, base)
        self.sheet.text(place, text, size=SIZE, bold=alarm, fill=fill)

    def figure(self, frame: int, base: float, text: str, shift: float = 0.0) -> None:
        """A figure of the axis."""
        place = (self.x(frame) + shift, base)
        self.sheet.text(place, text, size=SIZE, anchor="middle", fill="#6b6456")

    def _words_x(self, frame: int, text: str) -> float:
        right = self.left + self.width
        return max(self.left, min(self.x(frame) + 4, right - width_of(text, SIZE)))
