"""What can happen, as small frozen classes; all of them are known here.

What comes in through the one door stands in in_events.py. What goes out, to the as-run log, the
console, the lamp, stands in session_events.py, item_events.py and output_events.py. Frames are
counts of units.RATE since the station started.
"""

from dataclasses import asdict
from typing import Any, TypeAlias

from broadcaster.story.in_events import OPERATOR as OPERATOR
from broadcaster.story.in_events import Announce as Announce
from broadcaster.story.in_events import CloseStation as CloseStation
from broadcaster.story.in_events import EndSession as EndSession
from broadcaster.story.in_events import FactState as FactState
from broadcaster.story.in_events import GiveHint as GiveHint
from broadcaster.story.in_events import Hold as Hold
from broadcaster.story.in_events import InEvent as InEvent
from broadcaster.story.in_events import Jump as Jump
from broadcaster.story.in_events import JumpTiming as JumpTiming
from broadcaster.story.in_events import Placed as Placed
from broadcaster.story.in_events import PlainVoice as PlainVoice
from broadcaster.story.in_events import ResetSession as ResetSession
from broadcaster.story.in_events import RestoreSession as RestoreSession
from broadcaster.story.in_events import Resume as Resume
from broadcaster.story.in_events import SetFact as SetFact
from broadcaster.story.in_events import SetReadability as SetReadability
from broadcaster.story.in_events import SetSignal as SetSignal
from broadcaster.story.in_events import StartSession as StartSession
from broadcaster.story.in_events import StopPlainVoice as StopPlainVoice
from broadcaster.story.in_events import TakeBackAnnouncement as TakeBackAnnouncement
from broadcaster.story.in_events import TakeBackHint as TakeBackHint
from broadcaster.story.in_events import TakeBackJump as TakeBackJump
from broadcaster.story.in_events import TimetableDue as TimetableDue
from broadcaster.story.item_events import OF_THE_OPERATOR as OF_THE_OPERATOR
from broadcaster.story.item_events import Coming as Coming
from broadcaster.story.item_events import ItemAired as ItemAired
from broadcaster.story.item_events import ItemStarted as ItemStarted
from broadcaster.story.item_events import Keyed as Keyed
from broadcaster.story.item_events import Marks as Marks
from broadcaster.story.item_events import Part as Part
from broadcaster.story.item_events import RoundEnds as RoundEnds
from broadcaster.story.item_events import WordTimes as WordTimes
from broadcaster.story.output_events import OutputStarted as OutputStarted
from broadcaster.story.output_events import OutputState as OutputState
from broadcaster.story.output_events import SettingsRead as SettingsRead
from broadcaster.story.output_events import StationClosed as StationClosed
from broadcaster.story.output_events import StationOpened as StationOpened
from broadcaster.story.output_events import Trouble as Trouble
from broadcaster.story.session_events import AnnouncementsWaiting as AnnouncementsWaiting
from broadcaster.story.session_events import Commanded as Commanded
from broadcaster.story.session_events import FactChanged as FactChanged
from broadcaster.story.session_events import Held as Held
from broadcaster.story.session_events import HintGiven as HintGiven
from broadcaster.story.session_events import HintReady as HintReady
from broadcaster.story.session_events import JumpWaiting as JumpWaiting
from broadcaster.story.session_events import MilestoneMet as MilestoneMet
from broadcaster.story.session_events import MilestoneOverdue as MilestoneOverdue
from broadcaster.story.session_events import PlainVoiceStarted as PlainVoiceStarted
from broadcaster.story.session_events import PlainVoiceStopped as PlainVoiceStopped
from broadcaster.story.session_events import ReadabilityChanged as ReadabilityChanged
from broadcaster.story.session_events import Refused as Refused
from broadcaster.story.session_events import Resumed as Resumed
from broadcaster.story.session_events import SegmentEntered as SegmentEntered
from broadcaster.story.session_events import SessionClock as SessionClock
from broadcaster.story.session_events import SessionEnded as SessionEnded
from broadcaster.story.session_events import SessionRestored as SessionRestored
from broadcaster.story.session_events import SessionStarted as SessionStarted
from broadcaster.story.session_events import SignalChanged as SignalChanged
from broadcaster.story.session_events import Stalled as Stalled
from broadcaster.story.session_events import TimetableDropped as TimetableDropped

OutEvent: TypeAlias = (
    StationOpened
    | OutputStarted
    | SettingsRead
    | SessionStarted
    | SessionEnded
    | SessionRestored
    | SessionClock
    | Held
    | Resumed
    | SegmentEntered
    | JumpWaiting
    | AnnouncementsWaiting
    | PlainVoiceStarted
    | PlainVoiceStopped
    | FactChanged
    | SignalChanged
    | ReadabilityChanged
    | MilestoneMet
    | MilestoneOverdue
    | Stalled
    | HintGiven
    | HintReady
    | TimetableDropped
    | ItemStarted
    | Keyed
    | ItemAired
    | Coming
    | RoundEnds
    | Commanded
    | Refused
    | Trouble
    | OutputState
    | StationClosed
)


def name_of(kind: type[OutEvent] | type[InEvent]) -> str:
    """An event's class in words: `item aired`."""
    return "".join(" " + c.lower() if c.isupper() else c for c in kind.__name__).strip()


def as_record(event: OutEvent) -> dict[str, Any]:
    """The event as plain values for a log: its class's name in words, then its fields."""
    return {"event": name_of(type(event)), **asdict(event)}
