"""The console's program: it asks for what happened ten times a second, and shows what changed."""

import signal
from collections.abc import Callable
from functools import partial

from textual import events
from textual.app import App, ComposeResult
from textual.containers import Container
from textual.screen import Screen

from broadcaster.clock import Clock
from broadcaster.console.asking import Wording
from broadcaster.console.board import Board
from broadcaster.console.hand import Hand
from broadcaster.console.hands.sheets import Works
from broadcaster.console.palette import DAY, NIGHT
from broadcaster.console.panels.announce import Announcing
from broadcaster.console.panels.coming import Coming
from broadcaster.console.panels.dial import Dial
from broadcaster.console.panels.facts import Facts
from broadcaster.console.panels.help import Help
from broadcaster.console.panels.index import Index
from broadcaster.console.panels.log import Log
from broadcaster.console.panels.logsheet import LogSheet
from broadcaster.console.panels.message import Message
from broadcaster.console.panels.on_air import OnAir
from broadcaster.console.panels.output import Output
from broadcaster.console.panels.pace import Pace
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.panels.plain import PlainVoiceSheet
from broadcaster.console.panels.segments import Segments
from broadcaster.console.panels.session import SessionSheet
from broadcaster.console.panels.sign import Sign, sign_of
from broadcaster.console.panels.signal import Signal
from broadcaster.console.view import View, Weight
from broadcaster.desk.monitor import Monitor
from broadcaster.errors import BroadcasterError, StationError
from broadcaster.script.programme import Programme
from broadcaster.story.events import InEvent, OutEvent

REFRESH_S = 0.1
WIDE_COLUMNS = 104
"""From this width on the segments stand beside what is on air."""
HIGH_ROWS = 30
"""From this height on the dial has large lettering."""
LOW_ROWS, LOWEST_ROWS = 20, 12
"""Below these heights all else gives way to the sheets, and then more of it."""
VAST_COLUMNS, VAST_ROWS = 160, 50
"""From this size on facts and milestones stand side by side, and the clock is larger still."""
OPENINGS = 3
"""How often a screen that breaks down is opened before the console is given up."""


class OneScreen(Screen[None], inherit_bindings=False):
    """It has no keys of its own: the hand has them all."""


class Console(App[None], inherit_bindings=False):
    """What the operator sees and presses."""

    CSS_PATH = "style.tcss"
    ENABLE_COMMAND_PALETTE = False

    def __init__(
        self,
        board: Board,
        send: Callable[[InEvent], None],
        events: Callable[[], list[OutEvent]],
        clock: Clock,
        wording: Wording = Wording(),  # noqa: B008  it is frozen
        monitor: Monitor | None = None,
    ) -> None:
        super().__init__()
        self.board = board
        self._events = events
        self._stumbles: set[str] = set()
        self._called_away = False
        self.failure: BroadcasterError | None = None
        """Why there is nothing left to operate."""
        self.palette = NIGHT
        self.hand = Hand(
            send,
            clock,
            leave=self.exit,
            switch_light=self._switch_light,
            wording=wording,
            monitor=monitor,
        )
        view = board.view()
        self._sheets: dict[Works, Panel] = {
            Works.SEGMENTS: Segments("segments"),
            Works.SESSION: SessionSheet("session"),
            Works.ANNOUNCE: Announcing("announce"),
            Works.SIGNAL: Signal("signal"),
            Works.LOG: LogSheet("logsheet"),
            Works.PLAIN: PlainVoiceSheet("plain"),
        }
        self.panels: tuple[Panel, ...] = (
            Dial("dial"),
            Message("message"),
            Sign("sign"),
            OnAir("on_air"),
            Coming("coming"),
            Index("index"),
            *self._sheets.values(),
            Facts("facts", len(view.facts)),
            Pace("pace", len(view.milestones)),
            Output("output"),
            Log("log"),
            Help("help"),
        )
        for panel in self.panels:
            panel.stumble = self._stumbled
        for sheet in self._sheets.values():
            sheet.add_class("sheet")
        self._stood: object = None

    def get_default_screen(self) -> Screen[None]:
        """The one screen."""
        return OneScreen()

    def compose(self) -> ComposeResult:
        """The panels, from the top."""
        dial, message, sign, on_air, coming, index, *sheets = self.panels
        *sheets, facts, pace, output, log, help_page = sheets
        yield from (dial, message, sign)
        with Container(id="body"):
            with Container(id="copy"):
                yield from (on_air, coming)
            with Container(id="desk"):
                yield index
                with Container(id="work"):
                    yield from sheets
                    with Container(id="side"):
                        yield from (facts, pace)
        yield from (output, log, help_page)

    def on_mount(self) -> None:
        """Begin to ask."""
        self.set_interval(REFRESH_S, self.refresh_panels)

    def on_resize(self, event: events.Resize) -> None:
        """Stand the panels for the new size, and draw as soon as they have theirs."""
        width, height = event.size
        self.screen.set_class(width >= WIDE_COLUMNS and height >= LOW_ROWS, "-wide")
        self.screen.set_class(height < LOW_ROWS, "-low")
        self.screen.set_class(height < LOWEST_ROWS, "-lowest")
        self.screen.set_class(height >= HIGH_ROWS, "-high")
        self.screen.set_class(width >= VAST_COLUMNS and height >= VAST_ROWS, "-vast")
        self.call_after_refresh(self.refresh_panels)

    def on_key(self, event: events.Key) -> None:
        """Whatever is pressed goes to the hand, and shows at once."""
        event.stop()
        self._press(event.key, event.character, events.Event().time - event.time)

    def on_paste(self, event: events.Paste) -> None:
        """Text from elsewhere."""
        event.stop()
        self._guarded(lambda: self.hand.write(event.text))
        self.refresh_panels()

    def on_click(self, event: events.Click) -> None:
        """A click on a key's name presses it; on a line or a plate, it chooses that."""
        self._guarded(lambda: self._click(int(event.screen_x), int(event.screen_y)))

    def on_mouse_scroll_up(self, event: events.MouseScrollUp) -> None:
        """The wheel moves the choice."""
        event.stop()
        self._press("up", None)

    def on_mouse_scroll_down(self, event: events.MouseScrollDown) -> None:
        """The wheel moves the choice."""
        event.stop()
        self._press("down", None)

    def _click(self, x: int, y: int) -> None:
        panel, region = self.get_widget_at(x, y)
        if not isinstance(panel, Panel):
            return
        key = panel.key_at(x - region.x, y - region.y)
        place = panel.place_at(x - region.x, y - region.y)
        if key:
            self._press(*key)
        elif place and place.line is not None and place.mark is not None:
            self.hand.slide(place.line, place.mark, self.board.view())
        elif place and place.line is not None:
            self.hand.choose(place.works, place.line, self.board.view())
        elif place:
            self.hand.turn_to(place.works)
        self.refresh_panels()

    def _press(self, key: str, letter: str | None, late_s: float = 0.0) -> None:
        """A key; `late_s`: how long it waited while the screen was drawn."""
        self.board.key_pressed()
        self._guarded(lambda: self.hand.press(key, letter, self.board.view(), late_s))
        self.refresh_panels()

    def refresh_panels(self) -> None:
        """Take in what happened, and bring every panel up to it."""
        self._guarded(self._take_in)
        self._guarded(self._show)

    def _take_in(self) -> None:
        try:
            told = self._events()
        except BroadcasterError as error:  # there is no station any more
            self.failure = error
            self.exit()
            return
        for event in told:
            self._guarded(partial(self.board.apply, event))
        if self.board.closed or self._called_away:
            self.exit()

    def _show(self) -> None:
        view = self.board.view()
        self.hand.settle(view)
        self._stand(view)
        scene = Scene(view, self.hand, self.palette)
        for panel in self.panels:
            if panel.display:
                self._guarded(partial(panel.show, scene))

    def _stand(self, view: View) -> None:
        """Which panels stand on the screen; drawn again when they have their places."""
        works, helping, signed = (
            self.hand.works,
            self.hand.help_row is not None,
            bool(sign_of(view)),
        )
        if self._stood == (works, helping, signed):
            return
        self._stood = (works, helping, signed)
        top = Works.SEGMENTS if works is Works.FACTS else works
        for one, sheet in self._sheets.items():
            sheet.set_class(one is top, "-top")
        self.screen.set_class(top is Works.SEGMENTS, "-choosing")
        self.screen.set_class(top is Works.SESSION, "-reading")  # it has the milestones itself
        self.screen.set_class(helping, "-helping")
        self.screen.set_class(signed, "-signed")
        self.call_after_refresh(self.refresh_panels)

    def call_away(self, signal_number: int = 0, frame: object = None) -> None:
        """The system asks for an end: leave with the next look at the news, and not in the middle
        of anything."""
        del signal_number, frame
        self._called_away = True

    def _switch_light(self) -> None:
        self.palette = DAY if self.palette is NIGHT else NIGHT

    def _guarded(self, action: Callable[[], None]) -> None:
        """The console's outermost guard: what fails here is told in a sentence and ends nothing."""
        try:
            action()
        except Exception as problem:  # noqa: BLE001
            self._stumbled(problem)

    def _stumbled(self, problem: Exception) -> None:
        """Tell an error, once."""
        sentence = f"The console stumbled: {type(problem).__name__}: {problem}."
        if sentence not in self._stumbles:
            self._stumbles.add(sentence)
            self.board.note(sentence, Weight.TROUBLE)


def run_console(
    programme: Programme,
    send: Callable[[InEvent], None],
    events: Callable[[], list[OutEvent]],
    clock: Clock,
    wording: Wording = Wording(),  # noqa: B008  it is frozen
    monitor: Monitor | None = None,
) -> None:
    """Show the console until the operator leaves it, or the station has closed.

    `send` takes what the operator does. `events` gives what the station told since it was last
    asked; it is asked ten times a second and must not wait. A BroadcasterError from `events` means
    that there is no station any more: the console closes and raises it. A screen that breaks down
    is opened again as it was; raises StationError if that does not help. A request to end (SIGTERM)
    is a way of leaving it.
    """
    board = Board(programme, clock)
    for _ in range(OPENINGS):
        console = Console(board, send, events, clock, wording, monitor)
        before = signal.signal(signal.SIGTERM, console.call_away)
        try:
            console.run()
        finally:
            signal.signal(signal.SIGTERM, before)
        if console.failure:
            raise console.failure
        if console.return_code == 0:
            return
        board.note("The screen broke down and was opened again.", Weight.TROUBLE)
    raise StationError(f"The console broke down {OPENINGS} times; the station cannot be operated.")
