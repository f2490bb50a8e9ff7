"""How what goes out is to be received: the signal's strength, and how readable an item is.

The signal follows the script on the very frame on which a fact or a named time changes it. What
the operator says instead holds until it is taken back, or until a session begins anew.
"""

from dataclasses import replace

from broadcaster.script.condition_tree import CLOCKS
from broadcaster.script.programme import Item
from broadcaster.script.reception import FULL_SIGNAL
from broadcaster.story.events import Part, ReadabilityChanged, SignalChanged
from broadcaster.story.judging import Line, frames_until_strength_changes, strength_of
from broadcaster.story.moment import Moment
from broadcaster.story.pacing import OPERATOR
from broadcaster.story.state import SCRIPT


def follow_signal(moment: Moment) -> None:
    """Tell of the signal if it is not what was told last."""
    strength, why = moment.state.set_strength, OPERATOR
    if strength is None:
        strength, why = _scripted(moment), SCRIPT
    if (strength, why) != (moment.state.strength, moment.state.strength_by):
        moment.change(strength=strength, strength_by=why)
        moment.tell(SignalChanged(moment.frame, strength, why))


def frames_until_signal(moment: Moment) -> int | None:
    """Frames until time alone changes the signal that the script wants; None: it never does."""
    signal = moment.signal
    return frames_until_strength_changes(signal, moment.view) if signal else None


def _scripted(moment: Moment) -> float:
    signal = moment.signal
    if signal is None:
        return FULL_SIGNAL
    view = moment.view
    if not moment.on_air:  # the times of a session stand where they will begin
        times = {name: Line(0) for name in CLOCKS}
        times["time left"] = Line(moment.plan.session_frames)
        view = replace(view, times=times)
    return strength_of(signal, view)


def set_readability(moment: Moment, grade: float | None) -> None:
    """Let everything be so readable, or (None) as readable as the script says."""
    if grade != moment.state.set_readability:
        moment.change(set_readability=grade)
        moment.tell(ReadabilityChanged(moment.frame, grade))


def readability_of(moment: Moment, part: Part, item: Item) -> float | None:
    """How readable an item is to be; None: the sound is as its table says, or nothing is heard.

    The item's own wish counts, then the segment's for its running order and hints, then the
    station's; the operator's before all of them.
    """
    if not item.sounds:
        return None
    segment = moment.segment if part in (Part.RUNNING_ORDER, Part.HINT) else None
    return (
        moment.state.set_readability
        or item.readability
        or (segment and segment.readability)
        or moment.plan.programme.station.readability
    )
