"""The story as a picture, drawn like the wiring diagram of a wireless set.

Segments stand below each other in the order of the script. A wire on the right leads down the
story, one on the left leads back up; a dot is a joint, and a crossing without a dot is none. A way
out that is taken at once is dashed. What only the operator can reach stands apart, below.
"""

from collections.abc import Sequence
from dataclasses import dataclass

from broadcaster.rehearsal import picture_svg as ink
from broadcaster.rehearsal.picture_svg import Sheet, fitted, width_of
from broadcaster.rehearsal.picture_wires import Wire, in_lanes
from broadcaster.rehearsal.story_map import Stop, StoryMap, Way, story_map
from broadcaster.script.names import counted
from broadcaster.script.programme import END, Programme

MARGIN = 36.0
BOX_WIDTH = 500.0
LANE_WIDTH = 13.0
GAP = 22.0
HEADER = 28.0
LINE = 17.0
ROW = 19.0
TITLE = 110.0
HEADING = 40.0
SIZE = 11.5
DASHES = "5 3"
ENTRY = HEADER / 2
TIMETABLE = "\0timetable"
"""Names the timetable's box; no segment can have it."""


@dataclass(frozen=True, slots=True)
class Box:
    """A box in the column: its upper edge, and where its ways out begin."""

    name: str
    top: float
    height: float
    first_row: float
    """The upper edge of its first way out."""
    ways: tuple[Way, ...]

    def row(self, number: int) -> float:
        """The middle of a way out's row."""
        return self.first_row + (number + 0.5) * ROW


def story_picture(programme: Programme) -> Sheet:
    """The picture of a programme's story."""
    story = story_map(programme)
    boxes, headings, bottom = _stack(story)
    entries = {name: box.top + ENTRY for name, box in boxes.items()}
    down, up = _wires(boxes, entries)
    left = MARGIN + (max((wire.lane for wire in up), default=-1) + 2) * LANE_WIDTH
    right = left + BOX_WIDTH + (max((wire.lane for wire in down), default=-1) + 2) * LANE_WIDTH
    sheet = Sheet(right + MARGIN, bottom + 70, f"The story of {programme.programme}")
    colours = _colours(story)
    _title(sheet, programme)
    for wire in down:
        _draw_wire(sheet, wire, left + BOX_WIDTH, 1, colours[wire.to])
    for wire in up:
        _draw_wire(sheet, wire, left, -1, colours[wire.to])
    for name, box in boxes.items():
        _draw_ways(sheet, box, left, (down, up), colours)
        if name == END:
            _draw_end(sheet, box, left)
        elif name == TIMETABLE:
            _draw_timetable(sheet, box, left, story)
    for stop in (*story.stops, *story.aside):
        _draw_stop(sheet, stop, boxes[stop.name], left, colours[stop.name], stop in story.aside)
    for text, top in headings:
        sheet.text((left, top + 26), text, size=13, bold=True, face=ink.HEADLINE)
    _draw_opening(sheet, left)
    _legend(sheet, left, bottom + 26)
    return sheet


# --- where things stand -------------------------------------------------------------------------


def _stack(story: StoryMap) -> tuple[dict[str, Box], list[tuple[str, float]], float]:
    """The boxes from top to bottom, the headings between them, and the lower edge of all."""
    boxes: dict[str, Box] = {}
    headings: list[tuple[str, float]] = []
    top = TITLE

    def put(name: str, lines: int, ways: tuple[Way, ...]) -> None:
        nonlocal top
        first_row = top + HEADER + lines * LINE + (4 if lines else 0)
        height = first_row + len(ways) * ROW - top + 3
        boxes[name] = Box(name, top, height, first_row, ways)
        top += height + GAP

    def head(text: str) -> None:
        nonlocal top
        headings.append((text, top))
        top += HEADING

    for stop in story.stops:
        put(stop.name, len(_lines(stop)), stop.ways)
    if any(way.to == END for stop in (*story.stops, *story.aside) for way in stop.ways):
        put(END, 0, ())
    if story.due or story.played:
        head("BY THE TIMETABLE")
        put(TIMETABLE, len(story.played), story.due)
    if story.aside:
        head("ONLY THE OPERATOR GOES HERE")
        for stop in story.aside:
            put(stop.name, len(_lines(stop)), stop.ways)
    return boxes, headings, top


def _lines(stop: Stop) -> list[str]:
    """What stands in a box above its ways out, a line each."""
    about = [stop.about] if stop.about else []
    return [*about, *stop.clues]


def _wires(
    boxes: dict[str, Box], entries: dict[str, float]
) -> tuple[tuple[Wire, ...], tuple[Wire, ...]]:
    """The wires that lead down, and those that lead up."""
    down: dict[str, list[float]] = {}
    up: dict[str, list[float]] = {}
    for box in boxes.values():
        for number, way in enumerate(box.ways):
            if way.to != box.name:
                side = down if entries[way.to] > box.row(number) else up
                side.setdefault(way.to, []).append(box.row(number))
    return in_lanes(down, entries), in_lanes(up, entries)


def _colours(story: StoryMap) -> dict[str, int]:
    """For each place the number of its ink; neighbours differ."""
    names = [*(stop.name for stop in (*story.stops, *story.aside)), END, TIMETABLE]
    return {name: number % len(ink.COLOURS) for number, name in enumerate(names)}


# --- drawing ------------------------------------------------------------------------------------


def _title(sheet: Sheet, programme: Programme) -> None:
    sheet.text((MARGIN, 48), programme.programme, size=28, bold=True, face=ink.HEADLINE)
    frequency = f"{programme.station.frequency / 1e6:g} MHz"
    about = f"{programme.station.callsign}, {frequency}: the story, segment by segment"
    sheet.text((MARGIN, 70), about, size=13, italic=True, face=ink.HEADLINE)
    sheet.line([(MARGIN, 79), (sheet.width - MARGIN, 79)], thick=1.6)


def _draw_opening(sheet: Sheet, left: float) -> None:
    """Where a session comes in, like an aerial's lead."""
    sheet.line([(left + 15, 79), (left + 15, TITLE - 6)], thick=1.8)
    sheet.arrow_head((left + 15, TITLE), (0, 1), size=9)
    sheet.text((left + 26, TITLE - 8), "a session begins", size=SIZE, italic=True)


def _draw_wire(sheet: Sheet, wire: Wire, edge: float, side: int, colour: int) -> None:
    """A wire in its lane, to the box's edge; side 1 is the right of the column, -1 the left."""
    stroke = ink.COLOURS[colour]
    lane = edge + side * (wire.lane + 1.4) * LANE_WIDTH
    far = max(wire.joints, key=lambda joint: abs(joint - wire.entry))
    sheet.line(
        [(lane, far), (lane, wire.entry), (edge + side * 3, wire.entry)],
        stroke=stroke,
        thick=1.8,
        round_=5,
        tip=f"to {wire.to}",
    )
    sheet.arrow_head((edge, wire.entry), (-side, 0), fill=stroke, size=9)


def _draw_ways(
    sheet: Sheet,
    box: Box,
    left: float,
    wires: tuple[Sequence[Wire], Sequence[Wire]],
    colours: dict[str, int],
) -> None:
    """The pieces of wire from a box's rows to the lanes."""
    for number, way in enumerate(box.ways):
        height = box.row(number)
        for side, edge, some in ((1, left + BOX_WIDTH, wires[0]), (-1, left, wires[1])):
            for wire in some:
                if wire.to == way.to and height in wire.joints:
                    lane = edge + side * (wire.lane + 1.4) * LANE_WIDTH
                    stroke = ink.COLOURS[colours[way.to]]
                    dash = DASHES if way.at_once else ""
                    sheet.line(
                        [(edge, height), (lane, height)], stroke=stroke, thick=1.5, dash=dash
                    )
                    sheet.dot((lane, height), 2.8, fill=stroke)


def _draw_stop(sheet: Sheet, stop: Stop, box: Box, left: float, colour: int, aside: bool) -> None:
    dash = "2 3" if aside else ""
    sheet.rect((left, box.top), (BOX_WIDTH, box.height), fill="#fffaf0")
    sheet.rect((left, box.top), (BOX_WIDTH, HEADER), fill=ink.TINTS[colour])
    sheet.rect((left, box.top), (BOX_WIDTH, box.height), stroke=ink.INK, thick=1.3, dash=dash)
    base = box.top + 19
    number = f"{stop.number}"
    sheet.text((left + 10, base), number, size=12, fill=ink.COLOURS[colour], bold=True)
    sheet.text((left + 36, base), stop.name, size=15, bold=True, face=ink.HEADLINE)
    badges = ["over and over" if stop.repeats else "once"]
    badges += [counted(stop.hints, "hint")] if stop.hints else []
    sheet.text((left + BOX_WIDTH - 10, base), ", ".join(badges), size=SIZE, anchor="end")
    base = box.top + HEADER + 14
    if stop.about:
        words = fitted(stop.about, BOX_WIDTH - 22, SIZE)
        sheet.text((left + 10, base), words, size=SIZE, italic=True)
        base += LINE
    for clue in stop.clues:
        _diamond(sheet, (left + 17, base - 4))
        words = fitted(clue, BOX_WIDTH - 46, SIZE)
        sheet.text((left + 30, base), words, size=SIZE, bold=True)
        base += LINE
    _draw_rows(sheet, box, left)


def _diamond(sheet: Sheet, centre: ink.Point) -> None:
    (x, y) = centre
    sheet.shape([(x, y - 5.5), (x + 5.5, y), (x, y + 5.5), (x - 5.5, y)])


def _draw_rows(sheet: Sheet, box: Box, left: float) -> None:
    """The ways out, each with its condition and where it leads."""
    for number, way in enumerate(box.ways):
        middle = box.row(number)
        sheet.line(
            [(left, middle - ROW / 2), (left + BOX_WIDTH, middle - ROW / 2)], stroke=ink.RULE
        )
        to = "the end" if way.to == END else way.to
        if way.to == box.name:
            to = "once more"
        sheet.text((left + BOX_WIDTH - 10, middle + 4), to, size=SIZE, anchor="end", bold=True)
        mark = "at once " if way.at_once else ""
        room = BOX_WIDTH - 40 - width_of(to, SIZE) - width_of(mark, SIZE)
        if mark:
            sheet.text((left + 10, middle + 4), mark, size=SIZE, italic=True, fill="#6b6456")
        words = fitted(way.when or "always", room, SIZE)
        sheet.text((left + 10 + width_of(mark, SIZE), middle + 4), words, size=SIZE)


def _draw_end(sheet: Sheet, box: Box, left: float) -> None:
    """The end as an earth connection: what every wiring diagram comes down to."""
    centre, top = left + BOX_WIDTH - 60, box.top + ENTRY
    sheet.line([(left + BOX_WIDTH, top), (centre, top), (centre, top + 8)], thick=1.8)
    for number, half in enumerate((20, 13, 6)):
        y = top + 8 + number * 6
        sheet.line([(centre - half, y), (centre + half, y)], thick=2.2)
    words = "END: the session is over, the station stands by"
    sheet.text((left + 10, top + 5), words, size=12, bold=True)


def _draw_timetable(sheet: Sheet, box: Box, left: float, story: StoryMap) -> None:
    sheet.rect((left, box.top), (BOX_WIDTH, box.height), fill="#fffaf0", stroke=ink.INK, thick=1.3)
    sheet.text((left + 10, box.top + 19), "timetable", size=15, bold=True, face=ink.HEADLINE)
    base = box.top + HEADER + 14
    for line in story.played:
        sheet.text((left + 10, base), fitted(line, BOX_WIDTH - 22, SIZE), size=SIZE)
        base += LINE
    _draw_rows(sheet, box, left)


def _legend(sheet: Sheet, left: float, top: float) -> None:
    sheet.line([(MARGIN, top - 16), (sheet.width - MARGIN, top - 16)], thick=1.0)
    _diamond(sheet, (left + 6, top))
    sheet.text((left + 18, top + 4), "a clue", size=SIZE)
    for x, dash, words in (
        (left + 90, DASHES, "taken at once"),
        (left + 240, "", "taken at the end of a round"),
    ):
        sheet.line([(x, top), (x + 34, top)], thick=1.6, dash=dash)
        sheet.text((x + 42, top + 4), words, size=SIZE)
    for x, words in ((left, "right: on down the story"), (left + 240, "left: back up")):
        sheet.text((x, top + 24), words, size=SIZE, italic=True)
