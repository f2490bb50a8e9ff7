"""What the screen shows at one moment, as plain frozen values. The board makes them."""

from dataclasses import dataclass
from enum import StrEnum

from broadcaster.console.parts import (
    AirView,
    BranchView,
    CueView,
    FactView,
    HintView,
    LogLine,
    MilestoneState,
    MilestoneView,
    OutputView,
    PlainView,
    ReceptionView,
    SegmentView,
    SpokenView,
    WaitView,
    Weight,
)

__all__ = [
    "AirView",
    "BranchView",
    "CueView",
    "FactView",
    "HintView",
    "LogLine",
    "MilestoneState",
    "MilestoneView",
    "OutputView",
    "Phase",
    "PlainView",
    "ReceptionView",
    "SegmentView",
    "SpokenView",
    "View",
    "WaitView",
    "Weight",
]


class Phase(StrEnum):
    """Where the station stands, in the words on the dial."""

    OFF_AIR = "off air"
    STAND_BY = "stand by"
    ON_AIR = "on air"


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
    began_frame: int | None
    """The frame on which the last session began, which tells it apart; None: none did."""
    held: bool
    """Whether the session is held."""
    restorable: bool
    """Whether a session that was ended or reset can still be brought back."""
    air: AirView | None
    """None: the carrier alone."""
    round_left_s: float | None
    """Seconds until the round on air is over; None: no round is on air, or it is held."""
    round_exact: bool
    """Whether that is known and not guessed."""
    clue_at_stake: str | None
    """The clue that a jump made now would cut."""
    segment: str
    why: str
    """What led to the segment on air."""
    coming: tuple[CueView, ...]
    waiting: WaitView | None
    opening: str
    """The segment with which a session begins."""
    segments: tuple[SegmentView, ...]
    facts: tuple[FactView, ...]
    facts_of_last_session: bool
    """Whether the facts will be as in the script when the next session begins."""
    milestones: tuple[MilestoneView, ...]
    hint: HintView | None
    """The hint that the operator can give now."""
    hint_due: HintView | None
    """The hint that goes out next."""
    branches: tuple[BranchView, ...]
    """Where the segment on air can lead, as the script has it."""
    announcements: tuple[str, ...]
    """What the operator wants to say and has not said yet, in order."""
    spoken: tuple[SpokenView, ...]
    """What the operator said or wanted to say, the latest first, each once."""
    plain: PlainView | None
    """The plain voice, while it is on air."""
    plain_text: str
    """The programme's own text for it."""
    reception: ReceptionView
    output: OutputView | None
    """None: the station has not said yet."""
    log: tuple[LogLine, ...]
    """Oldest first."""
    alert: LogLine | None
    """The last trouble, refusal or note, while it is fresh."""

    @property
    def stalled(self) -> tuple[MilestoneView, ...]:
        """The milestones at which the team has stalled."""
        if self.phase is not Phase.ON_AIR:
            return ()
        return tuple(one for one in self.milestones if one.state is MilestoneState.STALLED)

    def fact(self, name: str) -> FactView | None:
        """The fact of that name."""
        return next((fact for fact in self.facts if fact.name == name), None)
