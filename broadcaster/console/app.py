"""The console's program: it asks for what happened ten times a second, and shows what changed."""

from collections.abc import Callable
from functools import partial

from textual.app import App, ComposeResult
from textual.containers import Container
from textual.events import Key, Resize
from textual.screen import Screen

from broadcaster.clock import Clock
from broadcaster.console.board import Board
from broadcaster.console.hand import Hand
from broadcaster.console.palette import DAY, NIGHT
from broadcaster.console.panels.coming import Coming
from broadcaster.console.panels.dial import Dial
from broadcaster.console.panels.facts import Facts
from broadcaster.console.panels.log import Log
from broadcaster.console.panels.message import Message
from broadcaster.console.panels.on_air import OnAir
from broadcaster.console.panels.output import Output
from broadcaster.console.panels.panel import Panel, Scene
from broadcaster.console.panels.segments import Segments
from broadcaster.console.view import Weight
from broadcaster.errors import BroadcasterError, StationError
from broadcaster.script.programme import Programme
from broadcaster.story.events import InEvent, OutEvent

REFRESH_S = 0.1
WIDE_COLUMNS = 104
"""From this width on the segments stand beside what is on air."""
HIGH_ROWS = 30
"""From this height on the dial has large lettering."""
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
    ) -> None:
        super().__init__()
        self.board = board
        self._events = events
        self._stumbles: set[str] = set()
        self.failure: BroadcasterError | None = None
        """Why there is nothing left to operate."""
        self.palette = NIGHT
        self.hand = Hand(send, clock, leave=self.exit, switch_light=self._switch_light)
        self.panels: tuple[Panel, ...] = (
            Dial("dial"),
            Message("message"),
            OnAir("on_air"),
            Coming("coming"),
            Segments("segments"),
            Facts("facts", len(board.view().facts)),
            Output("output"),
            Log("log"),
        )

    def get_default_screen(self) -> Screen[None]:
        """The one screen."""
        return OneScreen()

    def compose(self) -> ComposeResult:
        """The panels, from the top."""
        dial, message, on_air, coming, segments, facts, output, log = self.panels
        yield dial
        yield message
        with Container(id="body"):
            with Container(id="copy"):
                yield on_air
                yield coming
            with Container(id="desk"):
                yield segments
                yield facts
        yield output
        yield log

    def on_mount(self) -> None:
        """Begin to ask."""
        self.set_interval(REFRESH_S, self.refresh_panels)

    def on_resize(self, event: Resize) -> None:
        """Stand the panels for the new size, and draw as soon as they have theirs."""
        self.screen.set_class(event.size.width >= WIDE_COLUMNS, "-wide")
        self.screen.set_class(event.size.height >= HIGH_ROWS, "-high")
        self.call_after_refresh(self.refresh_panels)

    def on_key(self, event: Key) -> None:
        """Whatever is pressed goes to the hand, and shows at once."""
        event.stop()
        self.board.key_pressed()
        self._guarded(lambda: self.hand.press(event.key, event.character, self.board.view()))
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
        if self.board.closed:
            self.exit()

    def _show(self) -> None:
        self.hand.settle()
        scene = Scene(self.board.view(), self.hand, self.palette)
        for panel in self.panels:
            self._guarded(partial(panel.show, scene))

    def _switch_light(self) -> None:
        self.palette = DAY if self.palette is NIGHT else NIGHT

    def _guarded(self, action: Callable[[], None]) -> None:
        """The console's outermost guard: what fails here is told in a sentence and ends nothing."""
        try:
            action()
        except Exception as problem:  # noqa: BLE001
            sentence = f"The console stumbled: {type(problem).__name__}: {problem}."
            if sentence not in self._stumbles:
                self._stumbles.add(sentence)
                self.board.note(sentence, Weight.TROUBLE)


def run_console(
    programme: Programme,
    send: Callable[[InEvent], None],
    events: Callable[[], list[OutEvent]],
    clock: Clock,
) -> None:
    """Show the console until the operator leaves it, or the station has closed.

    `send` takes what the operator does. `events` gives what the station told since it was last
    asked; it is asked ten times a second and must not wait. A BroadcasterError from `events` means
    that there is no station any more: the console closes and raises it. A screen that breaks down
    is opened again as it was; raises StationError if that does not help.
    """
    board = Board(programme, clock)
    for _ in range(OPENINGS):
        console = Console(board, send, events, clock)
        console.run(mouse=False)  # the terminal's own selecting and copying stays
        if console.failure:
            raise console.failure
        if console.return_code == 0:
            return
        board.note("The screen broke down and was opened again.", Weight.TROUBLE)
    raise StationError(f"The console broke down {OPENINGS} times; the station cannot be operated.")
