"""Line mode: what is typed is answered when it is known how things stand."""

from collections import deque

from broadcaster.console import line_mode
from broadcaster.story.events import CloseStation, InEvent, OutEvent, StationClosed
from tests.console.scene import at, clock, on_air, output, programme


class Airing:
    """A station that tells how its output does only after what else it has to tell."""

    monitor = None

    def __init__(self, *tells: list[OutEvent]) -> None:
        self._tells = list(tells)
        self.sent: list[InEvent | CloseStation] = []

    @property
    def over(self) -> bool:
        return not self._tells

    def events(self) -> list[OutEvent]:
        return self._tells.pop(0)

    def send(self, event: InEvent | CloseStation) -> None:
        self.sent.append(event)


def test_what_is_typed_at_once_is_answered_when_the_standing_is_known(capsys, monkeypatch) -> None:
    """Not with the session's clock at nought, and the whole session left."""
    *before, last = on_air()
    assert last == output(10)
    monkeypatch.setattr(line_mode, "_read", lambda source: deque(["now"]))
    airing = Airing(before, [], [last], [], [StationClosed(at(20))])
    line_mode.watch_in_line_mode(programme(), airing, clock())  # type: ignore[arg-type]
    told = capsys.readouterr().out.splitlines()
    sessions = [line for line in told if line.startswith("Session ")]
    assert sessions == ["Session 0:10, 59:50 left."]
