"""A rehearsed session as a picture: a chart of everything that happened, over session time.

From top to bottom: segments on air, clues wherever they went out, the signal, facts, milestones,
hints, what the operator did, what went wrong. A lane in which nothing happened is left out.
"""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from broadcaster.rehearsal import picture_marks as marks
from broadcaster.rehearsal import picture_svg as ink
from broadcaster.rehearsal.course import Course, Pace
from broadcaster.rehearsal.picture_marks import Chart, Label
from broadcaster.rehearsal.picture_svg import Sheet, fitted
from broadcaster.script.facts import plain
from broadcaster.script.names import counted
from broadcaster.script.reception import FULL_SIGNAL
from broadcaster.story.events import (
    FactChanged,
    Held,
    ItemAired,
    Part,
    ReadabilityChanged,
    Refused,
    Resumed,
    SignalChanged,
    TimetableDropped,
    Trouble,
)
from broadcaster.units import seconds_from_frames, session_clock

WIDTH = 1600.0
MARGIN = 36.0
GUTTER = 330.0
RIGHT = 100.0
TITLE = 96.0
ROW = 22.0
LANE_GAP = 30.0
BLOCK = 34.0
LABEL_ROW = 15.0
SIZE = 11.5


@dataclass(frozen=True, slots=True)
class Row:
    """A row of the chart: what it is about, its height, and what draws it at its upper edge."""

    name: str
    height: float
    draw: Callable[[Chart, float], None]


@dataclass(frozen=True, slots=True)
class Lane:
    """Rows under a heading."""

    heading: str
    rows: list[Row]


def session_picture(course: Course) -> Sheet:
    """The picture of a session."""
    width = WIDTH - MARGIN - GUTTER - RIGHT
    place = Chart(None, MARGIN + GUTTER, width, max(1, course.end))
    lanes = [lane for lane in _lanes(course, place) if lane.rows]
    rows = sum(row.height for lane in lanes for row in lane.rows)
    bottom = TITLE + rows + LANE_GAP * len(lanes)
    sheet = Sheet(WIDTH, bottom + 84, f"A rehearsal of {course.programme.programme}")
    chart = place.on(sheet)
    _title(sheet, course)
    _axis(chart, bottom)
    _holds(chart, course, bottom)
    top = TITLE
    for lane in lanes:
        sheet.line([(MARGIN, top + 8), (WIDTH - MARGIN, top + 8)], stroke=ink.FAINT, thick=0.8)
        sheet.text((MARGIN, top + 24), lane.heading, size=12, bold=True, face=ink.HEADLINE)
        top += LANE_GAP
        for row in lane.rows:
            words = fitted(row.name, GUTTER - 14, SIZE)
            sheet.text((MARGIN + GUTTER - 10, top + 15), words, size=SIZE, anchor="end")
            row.draw(chart, top)
            top += row.height
    _legend(sheet, bottom + 50)
    return sheet


def _lanes(course: Course, chart: Chart) -> Iterable[Lane]:
    yield Lane("ON AIR", [_segments(course, chart)])
    clues = dict.fromkeys(clue.clue for clue in course.clues if clue.clue)
    yield Lane("CLUES", [_clue(name, course) for name in clues])
    yield Lane("SIGNAL", _signal(course))
    yield Lane("FACTS", [_fact(name, course) for name in course.programme.facts])
    yield Lane("MILESTONES", [_milestone(pace) for pace in course.paces])
    yield Lane("HINTS", _labelled(_hint_labels(course), chart))
    yield Lane("OPERATOR", _labelled(_operator_labels(course), chart))
    yield Lane("WENT WRONG", _labelled(_wrong_labels(course), chart, alarm=True))


# --- the rows -----------------------------------------------------------------------------------


def _segments(course: Course, chart: Chart) -> Row:
    """Blocks in the colours of their segments; a name that does not fit stands below."""
    names = list(course.programme.segments)
    outside = [
        Label(visit.start, visit.segment)
        for visit in course.visits
        if not chart.fits(visit.segment, visit.start, visit.end, 12)
    ]
    packed = chart.packed(outside)

    def draw(chart: Chart, top: float) -> None:
        for label, row in packed:
            chart.leader(label.frame, top + BLOCK, top + BLOCK + row * LABEL_ROW + 10)
        for label, row in packed:
            chart.words(label.frame, top + BLOCK + row * LABEL_ROW + 12, label.text)
        for visit in course.visits:
            number = names.index(visit.segment)
            tip = f"{visit.segment} {_clock(visit.start)} to {_clock(visit.end)}: {visit.why}"
            chart.block(visit.start, visit.end, top, BLOCK, number, tip)
            if chart.fits(visit.segment, visit.start, visit.end, 12):
                chart.centred(visit.start, visit.end, top + 22, visit.segment)

    rows = 1 + max((row for _, row in packed), default=-1)
    return Row("", BLOCK + rows * LABEL_ROW + 6, draw)


def _clue(name: str, course: Course) -> Row:
    aired = [clue for clue in course.clues if clue.clue == name]
    whole = sum(clue.complete for clue in aired)

    def draw(chart: Chart, top: float) -> None:
        chart.baseline(top + 11)
        for clue in aired:
            tip = f"{_clock(clue.start_frame)} {clue.text}"
            chart.bar(clue.start_frame, clue.end_frame, top + 4, 14, tip)
            if clue in course.cut_clues:
                chart.cross(clue.end_frame, top + 11)
        chart.margin(top + 15, f"{whole} ×")

    return Row(name, ROW, draw)


def _fact(name: str, course: Course) -> Row:
    at_first = course.programme.facts[name].at_first
    changes = [(0, plain(at_first), "at first")]
    changes += [
        (event.frame, plain(event.value), event.source)
        for event in course.of(FactChanged)
        if event.fact == name
    ]
    return _states(name, changes, plain(at_first), course)


def _signal(course: Course) -> list[Row]:
    """The signal's strength, if it was not full throughout, and what the operator asked for."""
    signal = [(each.frame, f"{each.strength:g}", each.why) for each in course.of(SignalChanged)]
    asked = [
        (each.frame, "as written" if each.grade is None else f"{each.grade:g}", "the operator")
        for each in course.of(ReadabilityChanged)
    ]
    full, rows = f"{FULL_SIGNAL:g}", []
    if any(strength != full for _, strength, _ in signal):
        rows.append(_states("strength", [(0, full, "at first"), *signal], full, course))
    if asked:
        asked.insert(0, (0, "as written", "at first"))
        rows.append(_states("readability", asked, "as written", course))
    return rows


def _states(name: str, changes: list[tuple[int, str, str]], at_first: str, course: Course) -> Row:
    """What something was from each of some frames on, and why; what came later on a frame holds."""
    last = {frame: (value, why) for frame, value, why in changes if frame < course.end}

    def draw(chart: Chart, top: float) -> None:
        ends = [*last][1:]
        chart.baseline(top + 11)
        for (frame, (value, why)), end in zip(last.items(), [*ends, course.end], strict=True):
            tip = f"{_clock(frame)} {name} = {value} ({why})"
            chart.state(frame, end, top + 3, value, changed=value != at_first, tip=tip)

    return Row(name, ROW, draw)


def _milestone(pace: Pace) -> Row:
    def draw(chart: Chart, top: float) -> None:
        middle = top + 11
        end = chart.frames if pace.met is None else pace.met
        chart.baseline(middle)
        if pace.overdue and pace.due < end:
            chart.overdue(pace.due, end, middle)
        chart.due(pace.due, middle)
        chart.hint_time(pace.hint, middle)
        if pace.met is not None:
            chart.met(pace.met, middle)
            chart.margin(top + 15, f"met {_clock(pace.met)}")
        else:
            chart.margin(top + 15, "not met", alarm=True)

    return Row(pace.milestone, ROW, draw)


def _labelled(labels: list[Label], chart: Chart, *, alarm: bool = False) -> list[Row]:
    """A row of moments, with words below each other where they would meet."""
    if not labels:
        return []
    packed = chart.packed(labels)
    head = 12.0 if alarm else 0.0

    def draw(chart: Chart, top: float) -> None:
        for label, row in packed:
            chart.leader(label.frame, top, top + head + row * LABEL_ROW + 10)
        for label, row in packed:
            chart.words(label.frame, top + head + row * LABEL_ROW + 12, label.text, alarm=alarm)
            if alarm:
                chart.cross(label.frame, top + 4)

    rows = 1 + max(row for _, row in packed)
    return [Row("", head + rows * LABEL_ROW + 8, draw)]


def _hint_labels(course: Course) -> list[Label]:
    return [
        Label(hint.frame, f"{hint.rung} of {hint.of}, {hint.segment} ({hint.why})")
        for hint in course.hints
    ]


def _operator_labels(course: Course) -> list[Label]:
    labels = [Label(jump.frame, f"jump to {jump.segment}") for jump in course.jumps]
    labels += [
        Label(event.start_frame, f"says: {fitted(event.text, 300, SIZE)}")
        for event in course.of(ItemAired)
        if event.part == Part.ANNOUNCEMENT
    ]
    labels += [Label(event.frame, "holds") for event in course.of(Held)]
    labels += [Label(event.frame, "goes on") for event in course.of(Resumed)]
    return labels


def _wrong_labels(course: Course) -> list[Label]:
    cut = [Label(clue.end_frame, f"clue cut: {clue.clue}") for clue in course.cut_clues]
    failed = [
        Label(event.frame, event.sentence)
        for event in course.events
        if isinstance(event, Refused | Trouble | TimetableDropped)
    ]
    return cut + failed


# --- around the rows ----------------------------------------------------------------------------


def _title(sheet: Sheet, course: Course) -> None:
    programme = course.programme
    sheet.text((MARGIN, 48), programme.programme, size=28, bold=True, face=ink.HEADLINE)
    words = (
        f"{programme.station.callsign}, a session of {_clock(course.end)} as rehearsed: "
        f"{counted(len(course.visits), 'segment')}, {counted(len(course.hints), 'hint')}, "
        f"{counted(len(course.cut_clues), 'clue')} cut"
    )
    sheet.text((MARGIN, 70), words, size=13, italic=True, face=ink.HEADLINE)
    sheet.line([(MARGIN, 79), (WIDTH - MARGIN, 79)], thick=1.6)


def _axis(chart: Chart, bottom: float) -> None:
    """Minutes, as lines through all lanes, with their figures above and below."""
    for frame, minute in chart.minutes():
        chart.hair(frame, TITLE, bottom)
        for y in (TITLE - 4, bottom + 14):
            chart.figure(frame, y, f"{minute}")
    chart.figure(chart.frames, TITLE - 4, "min", shift=20)


def _holds(chart: Chart, course: Course, bottom: float) -> None:
    ends = [event.frame for event in course.of(Resumed)]
    for held in course.of(Held):
        end = min((frame for frame in ends if frame > held.frame), default=course.end)
        chart.shade(held.frame, end, TITLE + 8, bottom)


def _legend(sheet: Sheet, y: float) -> None:
    entries: list[tuple[Callable[[float], None], str]] = [
        (lambda x: sheet.rect((x - 8, y - 7), (16, 14), fill=ink.INK), "a clue on air"),
        (lambda x: marks.cross(sheet, x, y), "cut"),
        (lambda x: marks.due_mark(sheet, x, y), "milestone due"),
        (lambda x: marks.hint_mark(sheet, x, y), "hint time"),
        (lambda x: marks.met_mark(sheet, x, y), "met"),
        (lambda x: marks.overdue_mark(sheet, x - 12, x + 12, y), "overdue"),
        (lambda x: sheet.rect((x - 12, y - 8), (24, 16), fill=marks.HELD), "held"),
    ]
    x = MARGIN + 12
    for draw, words in entries:
        draw(x)
        sheet.text((x + 20, y + 4), words, size=SIZE)
        x += 66 + ink.width_of(words, SIZE)


def _clock(frame: int) -> str:
    return session_clock(seconds_from_frames(frame))
