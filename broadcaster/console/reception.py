"""Reception: how strong the signal is, how readable all is to be, and who wants it so."""

from broadcaster.console.parts import ReceptionView
from broadcaster.script.programme import Programme
from broadcaster.script.reception import FULL_SIGNAL
from broadcaster.story.events import OutEvent, ReadabilityChanged, SignalChanged
from broadcaster.story.state import SCRIPT


class Reception:
    """Folds what the station tells of it; a station that tells nothing has the full signal."""

    def __init__(self, programme: Programme) -> None:
        self._programme = programme
        self._strength, self._by = FULL_SIGNAL, SCRIPT
        self._set_grade: float | None = None

    def hear(self, event: OutEvent) -> None:
        """Take any event."""
        match event:
            case SignalChanged():
                self._strength, self._by = event.strength, event.why
            case ReadabilityChanged():
                self._set_grade = event.grade

    def view(self, segment: str) -> ReceptionView:
        """What is shown while a segment (or none, empty) is on air."""
        on_air = self._programme.segments.get(segment)
        written = (on_air and on_air.readability) or self._programme.station.readability
        return ReceptionView(self._strength, self._by, self._set_grade, written)
