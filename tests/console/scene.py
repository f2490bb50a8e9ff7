"""A lively moment of the demo's story, as the station would tell it: for the console's tests."""

from datetime import UTC, datetime

from broadcaster.clock import VirtualClock
from broadcaster.script.conditions import parse_condition
from broadcaster.script.programme import Exit, Milestone, Programme, Say, Segment, Station
from broadcaster.script.template import Template
from broadcaster.story.events import (
    Coming,
    FactChanged,
    Held,
    HintReady,
    ItemAired,
    ItemStarted,
    JumpTiming,
    JumpWaiting,
    MilestoneOverdue,
    OutEvent,
    OutputState,
    Part,
    RoundEnds,
    SegmentEntered,
    SessionClock,
    SessionEnded,
    SessionStarted,
    StationOpened,
    Trouble,
)
from broadcaster.units import frames_from_seconds

OPENED = datetime(1958, 11, 3, 20, 2, 11, tzinfo=UTC)
SEGMENTS = {
    "watch": "Heron calls a dark tower.",
    "watch again": "They stall at the first crate.",
    "the word": "He wants the lamp.",
    "the lamp": "The lamp is lit, he says where he is.",
    "the gate": "He wants water in the creek.",
    "afloat": "The creek fills.",
    "the key": "Nell sends the landing stage.",
    "wrong stage": "They have lit a rotten stage.",
    "home": "They come in, the session ends.",
}


def programme() -> Programme:
    """Low Water, as far as the console needs it."""
    play = (Say(say=Template("Heron.", ("Heron.",))),)
    return Programme(
        programme="Low Water",
        station=Station(callsign="Heron", frequency=91.3e6, voice="keeper"),
        opening="watch",
        session=3600.0,
        facts={"crates_open": 0, "lamp_lit": False, "gate_open": False, "stage_lamp": 0},
        milestones={
            "first crate": Milestone(
                when=parse_condition("crates_open > 0"), by=660, hint_after=780
            ),
            "lamp": Milestone(when=parse_condition("lamp_lit"), by=1560, hint_after=1740),
        },
        segments={
            name: Segment(play=play, repeat=True, exits=_exits(name), about=about)
            for name, about in SEGMENTS.items()
        },
    )


def _exits(name: str) -> tuple[Exit, ...]:
    """The watch leads on by what the room tells, and by rounds; all others end."""
    if name != "watch":
        return (Exit(to="end"),)
    return (
        Exit(to="the lamp", when=parse_condition("lamp_lit"), at_once=True),
        Exit(to="watch again", when=parse_condition("rounds >= 4")),
        Exit(to="end"),
    )


def clock() -> VirtualClock:
    """The clock on the wall when the station opens."""
    return VirtualClock(OPENED)


def at(seconds: float) -> int:
    """A moment of the story, in frames."""
    return frames_from_seconds(seconds)


def opened() -> StationOpened:
    """The station's first word."""
    why = "no sound device was found"
    return StationOpened("Low Water", "Heron", 7, "silent", why, OPENED.isoformat())


def started(
    start_s: float,
    end_s: float,
    text: str,
    *,
    item: str = "say",
    segment: str = "watch",
    clue: str | None = None,
    time: int = 1,
    times: int = 1,
    turn: int = 1,
    part: str = Part.RUNNING_ORDER,
    words: tuple[tuple[float, str], ...] = (),
) -> ItemStarted:
    """An item that goes on air; `turn` is its round, words begin at seconds after its start."""
    told = tuple((at(second), word) for second, word in words)
    frames = at(start_s), at(end_s)
    return ItemStarted(*frames, segment, item, text, clue, time, times, turn, part, told)


def session(start_s: float) -> list[OutEvent]:
    """A session begins, and its clock."""
    return [SessionStarted(at(start_s)), SessionClock(at(start_s), 0, running=True)]


def session_ended(end_s: float, why: str, *, of_s: float | None = None) -> list[OutEvent]:
    """A session ends and its clock stops; of_s: what it showed by then."""
    shown = end_s if of_s is None else of_s
    return [SessionEnded(at(end_s), why), SessionClock(at(end_s), at(shown), running=False)]


def aired(item: ItemStarted, *, cut_s: float | None = None) -> ItemAired:
    """The as-run entry of an item; cut_s: when it was cut, if it was."""
    return ItemAired(
        item.start_frame,
        item.end_frame if cut_s is None else at(cut_s),
        item.segment,
        item.item,
        item.text,
        item.clue,
        item.time,
        item.times,
        item.round,
        complete=cut_s is None,
        part=item.part,
    )


def output(
    heard_s: float, *, ahead_s: float = 0.2, playing: bool = True, underruns: int = 0
) -> OutputState:
    """The output's word, with so much made ahead of the loudspeaker."""
    return OutputState(
        frame=at(heard_s + ahead_s),
        heard_frame=at(heard_s),
        output="silent",
        playing=playing,
        underruns=underruns,
        buffered_frames=at(ahead_s),
        peak_dbfs=-7.5,
        rms_dbfs=-17.0,
    )


def on_air(clue: str | None = None) -> list[OutEvent]:
    """A session ten seconds old, with an item on air for twenty more."""
    return [
        opened(),
        *session(0),
        SegmentEntered(at(0), "watch", "the opening"),
        started(0, 30, "Heron calling the light.", clue=clue),
        HintReady(at(0), "watch", 1, 3, "The figures come round."),
        RoundEnds(at(0), at(52), exact=False),
        Coming(at(0), (("watch", "groups", "2714"), ("watch", "pause", "pause"))),
        output(10),
    ]


def lively() -> list[OutEvent]:
    """Twelve minutes in: the crate's figures are on air, and a jump waits for their end."""
    call = started(716, 721, "Heron calling the light. Heron calling the light.", turn=4)
    crates = started(721, 727, "Four crates stand on your landing.", turn=4)
    clue = "the first crate"
    code = started(727, 735, "2714", item="groups", clue=clue, times=2, turn=4)
    again = started(735, 743, "2714", item="groups", clue=clue, time=2, times=2, turn=4)
    return [
        opened(),
        *session(20),
        SegmentEntered(at(20), "watch", "the opening"),
        MilestoneOverdue(at(680), "first crate"),
        Trouble(at(690), "The say 'Harbour to all stations.' is not ready yet."),
        call,
        aired(call),
        crates,
        aired(crates),
        code,
        FactChanged(at(729), "crates_open", 1, "room"),
        aired(code),
        again,
        JumpWaiting(at(738), "the word", JumpTiming.AFTER_ITEM),
        Coming(
            at(738),
            (
                ("the word", "interval signal", "A4 D5 E5 C5 D5 G4 rest rest"),
                ("the word", "say", "Heron calling the light. I count 1 of four windows."),
                ("the word", "spell", "NELL"),
                ("the word", "pause", "pause"),
            ),
        ),
        output(739.0),
    ]


def held(at_s: float) -> list[OutEvent]:
    """A session that began at 0 is held."""
    return [Held(at(at_s)), SessionClock(at(at_s), at(at_s), running=False), output(at_s)]
