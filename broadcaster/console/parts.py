"""The parts of a view: what stands on each panel."""

from dataclasses import dataclass
from enum import StrEnum

from broadcaster.script.transitions import Transition
from broadcaster.story.events import OPERATOR, FactState, JumpTiming


@dataclass(frozen=True, slots=True)
class AirView:
    """The item that is at the loudspeaker now."""

    segment: str
    kind: str
    text: str
    clue: str | None
    part: str
    """What the item belongs to: a story.events.Part."""
    time: int
    times: int
    round: int
    start_frame: int
    length_s: float
    elapsed_s: float
    place: int
    """Where in the text the word begins that is said now: letters, from 0."""
    readability: float | None = None
    """What is predicted for it at full signal, 1 to 5; None where nothing was worked out."""

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
    left_s: float | None = None
    """Seconds until it is made; None: that is not known."""
    exact: bool = True
    """Whether left_s is known and not guessed."""
    transition: Transition | None = None
    """What was chosen to lie between; None: what the script says."""


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
class BranchView:
    """A way that the script knows from the segment on air: where it leads, and when it opens."""

    number: int
    """The segment's, from 1."""
    segment: str
    when: str
    """Its condition as the writer wrote it; empty: it always holds."""
    gives_up: bool = False
    """Whether it opens because little time is left: that helps no team on."""


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
class ReceptionView:
    """How strong the signal is, 0 to 5, and how readable all is to be, 1 to 5; who says so."""

    strength: float
    strength_by: str
    """`the script` or `the operator`."""
    set_grade: float | None
    """What the operator says of readability; None: what the script says holds."""
    written_grade: float | None
    """What the script says for the running order on air; None: nothing."""

    @property
    def set_strength(self) -> float | None:
        """What the operator says of the signal; None: what the script says holds."""
        return self.strength if self.strength_by == OPERATOR else None

    @property
    def grade(self) -> float | None:
        """How readable all is to be now; None: as the sound is."""
        return self.set_grade or self.written_grade


class MilestoneState(StrEnum):
    """How the team stands to a milestone, in the words on the screen."""

    TO_COME = "to come"
    MET = "met"
    OVERDUE = "overdue"
    STALLED = "stalled"


@dataclass(frozen=True, slots=True)
class MilestoneView:
    """A milestone, and its times in seconds of the session."""

    name: str
    state: MilestoneState
    by_s: float
    stalled_after_s: float
    met_s: float | None = None
    """When it was met; None: it is not, or nobody told when."""


@dataclass(frozen=True, slots=True)
class HintView:
    """The next hint of the segment on air: which of how many, from 1, and what it says."""

    rung: int
    of: int
    text: str


@dataclass(frozen=True, slots=True)
class SpokenView:
    """An announcement that was wanted, and at what time of day; or when it was over, or cut."""

    text: str
    at: str


@dataclass(frozen=True, slots=True)
class PlainView:
    """What the plain voice says, since what time of day, and who wanted it."""

    text: str
    at: str
    source: str


@dataclass(frozen=True, slots=True)
class OutputView:
    """How the output does. Levels in dBFS; silence is -inf."""

    name: str
    playing: bool
    underruns: int
    buffered_s: float
    peak_dbfs: float
    held_peak_dbfs: float
    """The highest peak of the last few seconds."""
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
