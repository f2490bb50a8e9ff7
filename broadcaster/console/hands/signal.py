"""Signal: two sliders, for how strong the signal is and how readable all is to be."""

from broadcaster.clock import Clock
from broadcaster.console.acts import Acts
from broadcaster.console.hands.sheets import moved
from broadcaster.console.sliders import Slider
from broadcaster.console.undo import ECHO_S
from broadcaster.console.view import View

SLIDERS = tuple(Slider)
STEPS = {"left": -1, "right": 1, "-": -1, "_": -1, "+": 1, "=": 1}
"""Keys and letters that move a slider by a mark."""


class SignalHand:
    """Which slider is chosen, and where each was put just now: a second step counts on from it."""

    def __init__(self, acts: Acts, clock: Clock) -> None:
        self._acts = acts
        self._clock = clock
        self._put: dict[Slider, tuple[float | None, float | None, float]] = {}
        """Where it was put, where it stood before, and when in seconds."""
        self.chosen = 0
        """Counted from 0."""

    def settle(self) -> None:
        """Nothing passes here."""

    def choose(self, line: int, view: View) -> None:
        """Choose a slider."""
        del view
        self.chosen = max(0, min(line, len(SLIDERS) - 1))

    def slide(self, line: int, mark: int, view: View) -> None:
        """Put a slider to one of its marks, counted from 0."""
        self.choose(line, view)
        slider = SLIDERS[self.chosen]
        self._set(slider, slider.marks[mark], view)

    def press(self, key: str, letter: str | None, view: View) -> None:
        """Choose a slider, move it, or let it go."""
        slider = SLIDERS[self.chosen]
        step = STEPS.get(key) or STEPS.get(letter or "")
        if (place := moved(key, self.chosen, len(SLIDERS))) is not None:
            self.chosen = place
        elif step:
            self._set(slider, slider.beside(self._from(slider, view), step), view)
        elif letter == " ":
            self._set(slider, None, view)
        elif letter or key == "enter":
            self._acts.say("← → move the slider. Esc goes back to the segments.")

    def _from(self, slider: Slider, view: View) -> float:
        """From where a step counts."""
        put = self._just_now(slider)
        amount = put[0] if put else None
        if amount is None:
            amount = slider.stands(view.reception)
        return slider.marks[-1] if amount is None else amount

    def _set(self, slider: Slider, amount: float | None, view: View) -> None:
        put = self._just_now(slider)
        before = put[1] if put else slider.wanted(view.reception)
        self._put[slider] = (amount, before, self._clock.seconds())
        if slider is Slider.SIGNAL:
            self._acts.set_signal(amount, before)
        else:
            self._acts.set_readability(amount, before)

    def _just_now(self, slider: Slider) -> tuple[float | None, float | None, float] | None:
        """What was asked of it while the station may not have answered yet: one move so far."""
        put = self._put.get(slider)
        return put if put and self._clock.seconds() - put[2] < ECHO_S else None
