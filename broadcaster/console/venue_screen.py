"""The venue on one screen: its stations, each a line, and its number where it is on the dial."""

from collections.abc import Sequence

from rich.segment import Segment
from textual import events
from textual.app import App, ComposeResult
from textual.screen import Screen
from textual.strip import Strip
from textual.widget import Widget

from broadcaster.console.app import OneScreen
from broadcaster.console.keys import key_at, key_row
from broadcaster.console.palette import DAY, NIGHT, Palette
from broadcaster.console.panels.panel import style_of
from broadcaster.console.rows import Row as Cells
from broadcaster.console.rows import column, filled, spread
from broadcaster.console.venue_words import Row, rows_of, too_close
from broadcaster.console.words import frequency_words
from broadcaster.room.mqtt_venue import VenueLine

REFRESH_S = 0.2
HEAD_ROWS, FOOT_ROWS = 4, 2
LOWEST_MHZ, HIGHEST_MHZ = 87.5, 108.0
"""Band II, in which the small transmitters are (Rec. ITU-R BS.450)."""
NARROW = 90
"""Below this width the programmes' names are left out."""
KEYS = (("↑", ""), ("↓", "choose"), ("Enter", "operate it"), ("Ctrl+T", "light"))


class Sheet(Widget):
    """All of the screen."""

    ALLOW_SELECT = False

    def __init__(self) -> None:
        super().__init__()
        self.shown: list[Cells] = []

    def render_line(self, y: int) -> Strip:
        """One row in the terminal's styles."""
        if y >= len(self.shown):
            return Strip.blank(self.size.width)
        return Strip([Segment(text, style_of(ink)) for text, ink in self.shown[y]])


class VenueScreen(App[str], inherit_bindings=False):
    """Ends with the name of the station that is to be operated, or with nothing."""

    ENABLE_COMMAND_PALETTE = False

    def __init__(self, title: str, line: VenueLine, remark: str = "", chosen: str = "") -> None:
        """`remark`: why the chosen station could not be operated, if so."""
        super().__init__()
        self._title = title
        self._line = line
        self._remark = remark
        self._chosen = chosen
        self._palette = NIGHT
        self.sheet = Sheet()

    def get_default_screen(self) -> Screen[None]:
        """The one screen."""
        return OneScreen()

    def compose(self) -> ComposeResult:
        """The sheet."""
        yield self.sheet

    def on_mount(self) -> None:
        """Begin to look."""
        self.set_interval(REFRESH_S, self.draw)

    def on_resize(self) -> None:
        """Draw for the new size."""
        self.call_after_refresh(self.draw)

    def on_key(self, event: events.Key) -> None:
        """The arrows and figures choose, Enter opens; what is heard on air takes a console."""
        event.stop()
        self._press(event.key)
        self.draw()

    def on_click(self, event: events.Click) -> None:
        """A click on a line chooses it; one on a key's name presses it."""
        x, y = int(event.screen_x), int(event.screen_y)
        key = key_at(self.sheet.shown[y], x) if y < len(self.sheet.shown) else None
        rows = self.rows()
        line = y - HEAD_ROWS + self._first(rows)
        if key and y >= self.sheet.size.height - FOOT_ROWS:
            self._press(key[0])
        elif y >= HEAD_ROWS and line < len(rows):
            self._chosen = rows[line].name
        self.draw()

    def rows(self) -> list[Row]:
        """The stations as they are now."""
        return rows_of(self._line)

    def draw(self) -> None:
        """Bring the screen up to the moment."""
        rows, (width, height) = self.rows(), self.sheet.size
        if rows and self._chosen not in [row.name for row in rows]:
            self._chosen = rows[0].name
        palette = self._palette
        first, room = self._first(rows), max(0, height - HEAD_ROWS - FOOT_ROWS)
        body = [self._station(number, row) for number, row in enumerate(rows, start=1)]
        body = body[first : first + room]
        if not rows:
            body = [(("  No station has said a word on this broker.", palette.panel_quiet),)]
        body += [()] * (room - len(body))
        shown = [*self._head(rows, width), *body, self._message(rows), self._keys()]
        grounds = [palette.dial] * 3 + [palette.plate] + [palette.panel] * room + [palette.line] * 2
        shown = [filled(row, width, ink) for row, ink in zip(shown, grounds, strict=False)]
        if shown != self.sheet.shown:
            self.sheet.shown = shown
            self.sheet.refresh()

    def _press(self, key: str) -> None:
        names = [row.name for row in self.rows()]
        place = names.index(self._chosen) if self._chosen in names else 0
        self._remark = ""
        match key:
            case "ctrl+q" | "ctrl+c":
                self.exit(None)
            case "ctrl+t":
                self._palette = DAY if self._palette is NIGHT else NIGHT
            case "enter" if names:
                self.exit(names[place])
            case "up" | "down" if names:
                step = 1 if key == "down" else -1
                self._chosen = names[min(len(names) - 1, max(0, place + step))]
            case "home" | "end" if names:
                self._chosen = names[0 if key == "home" else -1]
            case _ if key.isdigit() and 0 < int(key) <= len(names):
                self._chosen = names[int(key) - 1]

    def _first(self, rows: Sequence[Row]) -> int:
        """The first station shown: the chosen one is always among them."""
        room = max(1, self.sheet.size.height - HEAD_ROWS - FOOT_ROWS)
        names = [row.name for row in rows]
        place = names.index(self._chosen) if self._chosen in names else 0
        return max(0, min(place - room // 2, len(rows) - room))

    # --- the rows --------------------------------------------------------------------------------

    def _head(self, rows: Sequence[Row], width: int) -> list[Cells]:
        palette = self._palette
        needs, crowd = sum(row.alarm for row in rows), too_close(rows)
        state = f"{len(rows)} station{'' if len(rows) == 1 else 's'}"
        state += f", {needs} to look at" if needs else ""
        state += f", {len(crowd)} too close on the dial" if crowd else ""
        state += "  " if needs or crowd else ", all well  "
        title: Cells = (("  " + self._title, palette.dial_strong),)
        names = ("     ", ("callsign", 12), ("segment", 20), ("session", 9))
        plate = "".join(one if isinstance(one, str) else column(*one) for one in names)
        return [
            spread(
                title,
                ((state, palette.needle if needs or crowd else palette.dial),),
                width,
                palette.dial,
            ),
            *_dial(rows, crowd, palette, width),
            ((plate + "state", palette.plate),),
        ]

    def _station(self, number: int, row: Row) -> Cells:
        palette = self._palette
        chosen = row.name == self._chosen
        ink = palette.chosen if chosen else palette.panel
        state = palette.chosen if chosen else palette.panel_quiet
        if row.alarm and not chosen:
            state = palette.panel_on_air
        mark = "▸" if chosen else " "
        told = f"{mark}{number:>2} {'!' if row.alarm else ' '}" + column(row.callsign, 12)
        told += column(row.segment, 20) + column(row.clock, 9)
        cells: Cells = ((told, ink), (row.state, state))
        if self.sheet.size.width < NARROW:
            return cells
        programme: Cells = ((f"  {row.programme} ", state if chosen else palette.panel_quiet),)
        return spread(cells, programme, self.sheet.size.width, ink)

    def _message(self, rows: Sequence[Row]) -> Cells:
        palette = self._palette
        if self._line.trouble:
            return ((f" {self._line.trouble} It is tried again. ", palette.alarm),)
        if self._remark:
            return ((f" {self._remark} ", palette.alarm),)
        chosen = next((row for row in rows if row.name == self._chosen), None)
        if chosen is None:
            return ()
        at = f"  {frequency_words(chosen.megahertz * 1e6)}" if chosen.megahertz else ""
        return ((f" {chosen.programme}{at}  {chosen.state}", palette.line_key),)

    def _keys(self) -> Cells:
        keys = (*KEYS, ("Ctrl+Q", "leave; all stays on air"))
        return key_row(keys, self._palette.line_key, self._palette.line)


def _dial(rows: Sequence[Row], crowd: Sequence[Row], palette: Palette, width: int) -> list[Cells]:
    """The band, and each station's number where it is; numbers that would touch stand together."""
    columns = max(1, width - 4)
    marks, figures = ["·"] * columns, " " * columns
    for mhz in range(88, 108, 4):
        place = _place(mhz, columns)
        marks[place] = "┼"
        figures = (figures[:place] + str(mhz) + figures[place + len(str(mhz)) :])[:columns]
    scale: Cells = (("  ", palette.dial),)
    end = 0
    for place, numbers, crowded in _needles(rows, crowd, columns):
        start = max(end, min(place, columns - len(numbers)))
        ink = palette.alarm if crowded else palette.needle
        scale += (("".join(marks[end:start]), palette.dial_quiet), (numbers, ink))
        end = start + len(numbers)
    scale += (("".join(marks[end:]), palette.dial_quiet),)
    return [scale, (("  " + figures, palette.dial_quiet),)]


def _needles(
    rows: Sequence[Row], crowd: Sequence[Row], columns: int
) -> list[tuple[int, str, bool]]:
    """What stands where on the dial, from the left, and whether a station there is too close."""
    tuned = sorted(
        (row.megahertz, number, row in crowd)
        for number, row in enumerate(rows, start=1)
        if row.megahertz is not None and LOWEST_MHZ <= row.megahertz <= HIGHEST_MHZ
    )
    needles: list[tuple[int, str, bool]] = []
    for mhz, number, crowded in tuned:
        place = _place(mhz, columns)
        if needles and place <= needles[-1][0] + len(needles[-1][1]):
            before, numbers, had = needles[-1]
            needles[-1] = (before, f"{numbers},{number}", had or crowded)
        else:
            needles.append((place, str(number), crowded))
    return needles


def _place(mhz: float, columns: int) -> int:
    return round((mhz - LOWEST_MHZ) / (HIGHEST_MHZ - LOWEST_MHZ) * (columns - 1))
