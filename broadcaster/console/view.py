"""What the screen shows, as frozen values: the board makes them, the panels read them."""

from dataclasses import dataclass
from enum import StrEnum

from broadcaster.story.events import FactState, JumpTiming


class Phase(StrEnum):
    """Where the station stands, in the words on the dial."""

    OFF_AIR = "off air"
    STAND_BY = "stand by"
    ON_AIR = "on air"


@dataclass(frozen=True, slots=True)
class AirView:
    """The item that is at the loudspeaker now."""

    segment: str
    kind: str
    text: str
    clue: str | None
    time: int
    times: int
    round: int
    start_frame: int
    length_s: float
    elapsed_s: float

    @property
    def left_s(self) -> float:
        """Seconds until it ends if nothing cuts it."""
        return max(0.0, self.length_s - self.elapsed_s)

    @property
    def progress(self) -> float:
        """How far it is, from 0 to 1."""
        return min(1.0, self.elapsed_s / self.length_s) if self.length_s > 0 else 1.0


@dataclass(frozen=True, slots=True)
class CueView:
    """Something that goes out later if nothing happens."""

    segment: str
    kind: str
    text: str


@dataclass(frozen=True, slots=True)
class WaitView:
    """A jump that waits for its moment."""

    segment: str
    timing: JumpTiming


@dataclass(frozen=True, slots=True)
class SegmentView:
    """One line of the segments: number counts from 1."""

    number: int
    name: str
    about: str
    on_air: bool
    waits: JumpTiming | None
    """When the jump that leads here is made; None: none waits."""
    warning: str = ""
    """In a clause, that a jump here would lead on at once; empty: it is not known to."""


@dataclass(frozen=True, slots=True)
class FactView:
    """A fact, and who gave it its value when; source and at are empty: still the script's."""

    name: str
    value: FactState
    source: str
    at: str
    names: tuple[str, ...] = ()
    """The names of which it is one, if it is no yes or no and no number."""


@dataclass(frozen=True, slots=True)
class OutputView:
    """How the output does. Levels in dBFS; silence is -inf."""

    name: str
    playing: bool
    underruns: int
    buffered_s: float
    peak_dbfs: float
    rms_dbfs: float
    quiet_for_s: float
    """Seconds since the station last said how its output does."""


class Weight(StrEnum):
    """What kind of line stands in the log."""

    AIRED = "aired"
    CUT = "cut"
    STORY = "story"
    NOTE = "note"
    """Stands in the message line for a while, too; so do the next two."""
    REFUSED = "refused"
    TROUBLE = "trouble"


@dataclass(frozen=True, slots=True)
class LogLine:
    """One line of the log: the time of day it belongs to, and a plain sentence."""

    at: str
    weight: Weight
    sentence: str


@dataclass(frozen=True, slots=True)
class View:
    """Everything the screen shows at one moment."""

    programme: str
    callsign: str
    frequency_hz: float
    phase: Phase
    session_s: float | None
    """How long the session has run, or did; None before the first."""
    session_length_s: float
    air: AirView | None
    """None: the carrier alone."""
    clue_at_stake: str | None
    """The clue that a jump made now would cut."""
    segment: str
    why: str
    """What led to the segment on air."""
    coming: tuple[CueView, ...]
    waiting: WaitView | None
    segments: tuple[SegmentView, ...]
    facts: tuple[FactView, ...]
    facts_of_last_session: bool
    """Whether the facts will be as in the script when the next session begins."""
    output: OutputView | None
    """None: the station has not said yet."""
    log: tuple[LogLine, ...]
    """Oldest first."""
    alert: LogLine | None
    """The last trouble, refusal or note, while it is fresh."""
