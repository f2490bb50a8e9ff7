"""A whole session by keys alone: what each key sends, what then stands on the screen.

One console for each size of terminal, from stand by to the next team. On the way every letter that
is drawn is measured against its ground, by night and by day in turn.
"""

from dataclasses import replace

import pytest

from broadcaster.console.hands.sheets import Works
from broadcaster.console.palette import DAY, NIGHT
from broadcaster.console.panels.panel import Panel
from broadcaster.story.events import (
    Announce,
    AnnouncementsWaiting,
    EndSession,
    FactChanged,
    GiveHint,
    Held,
    Hold,
    Jump,
    JumpTiming,
    JumpWaiting,
    MilestoneOverdue,
    Part,
    PlainVoice,
    PlainVoiceStarted,
    PlainVoiceStopped,
    ReadabilityChanged,
    ResetSession,
    RestoreSession,
    Resume,
    Resumed,
    SegmentEntered,
    SessionClock,
    SetFact,
    SetReadability,
    SetSignal,
    SignalChanged,
    Stalled,
    StartSession,
    StopPlainVoice,
    TakeBackAnnouncement,
    TakeBackJump,
)
from tests.console.contrast import LEAST, contrast, drawn_pairs
from tests.console.scene import (
    aired,
    at,
    held,
    on_air,
    opened,
    output,
    session,
    session_ended,
    started,
)
from tests.console.screen import Trial, on_console

SIZES = [(80, 24), (120, 40), (200, 60)]
SAID = "Mind the third stair."
LEAVE = "This is not part of the game."


async def write(trial: Trial, text: str) -> None:
    """Write letter by letter."""
    await trial.press(*("space" if letter == " " else letter for letter in text))


def whole(trial: Trial) -> str:
    """The terminal as it is drawn; every row is full, and readable."""
    rows = trial.screen()
    assert {len(row) for row in rows} == {trial.console.size.width}
    for letters, ground in drawn_pairs(trial.console):
        assert contrast(letters, ground) >= LEAST, (letters, ground)
    return "\n".join(rows)


async def begin(trial: Trial) -> None:
    assert "○ STAND BY" in whole(trial)
    assert "Ctrl+S begin a session" in whole(trial)
    assert await trial.press("ctrl+s") == [StartSession()]
    assert "The session begins." in whole(trial)
    await trial.tell(*on_air()[1:])
    assert "● ON AIR" in whole(trial)


async def jump_and_take_back(trial: Trial) -> None:
    await trial.press("right", "right", "right")
    assert "→ with a fade" in whole(trial)
    await write(trial, "the g")
    shown = whole(trial)
    assert "find the g_" in shown
    assert "afloat" not in trial.text("segments")
    jump = Jump("the gate", JumpTiming.AFTER_ROUND, "fade")
    assert await trial.press("ctrl+r") == [jump]
    await trial.tell(JumpWaiting(at(10), jump.segment, jump.timing, jump.transition))
    shown = whole(trial)
    assert "Jump to the gate, after this round, with a fade." in shown
    assert "» the gate" in shown
    assert "in about 0:41, fade" in shown
    assert await trial.press("ctrl+z") == [TakeBackJump()]
    await trial.tell(JumpWaiting(at(10), None, None))
    assert "Taken back: the jump." in whole(trial)


async def stall_and_hint(trial: Trial) -> None:
    clock = SessionClock(at(12), at(800), running=True)
    late = (MilestoneOverdue(at(12), "first crate"), Stalled(at(12), "first crate"))
    await trial.tell(*late, clock, output(12))
    shown = whole(trial)
    assert trial.console.query_one("#sign", Panel).is_on_screen
    assert "first crate: late by 2:20" in shown
    assert "Ctrl+G hint 1 of 3: The figures come round." in shown
    assert "jump: 2 watch again or 4 the lamp" in shown
    assert "SESSION!" in shown
    assert await trial.press("ctrl+g") == [GiveHint()]
    assert "Hint 1 of 3 goes out after this item: The figures come round." in whole(trial)
    await trial.press("tab")
    assert "‼ first crate" in trial.text("session")
    assert "stalled by 2:20" in whole(trial)
    await trial.press("escape")


async def hold_and_go_on(trial: Trial) -> None:
    assert await trial.press("ctrl+o") == [Hold()]
    await trial.tell(*held(13))
    shown = whole(trial)
    assert "The session stands at 0:13." in shown
    assert "Ctrl+O let it go on" in shown
    assert "held" in trial.text("dial")
    assert await trial.press("ctrl+z") == []
    assert "The session is held: Ctrl+O lets it go on." in whole(trial)
    trial.clock.wait(1.5)
    assert await trial.press("ctrl+o") == [Resume()]
    await trial.tell(Resumed(at(13)), SessionClock(at(13), at(13), running=True))
    assert "The session goes on." in whole(trial)


async def announce(trial: Trial) -> None:
    await trial.press("ctrl+a")
    assert "Write what Heron is to say" in whole(trial)
    await write(trial, "Mind the thurd stair.")
    await trial.press(*["left"] * 9, "backspace", "i")
    assert SAID in whole(trial)
    assert await trial.press("enter") == [Announce(SAID)]
    await trial.tell(AnnouncementsWaiting(at(13), (SAID,)))
    assert "waits, in 0:16" in whole(trial)
    assert await trial.press("ctrl+z") == [TakeBackAnnouncement()]
    await trial.tell(AnnouncementsWaiting(at(13), ()))
    said = started(13, 14, SAID, part=Part.ANNOUNCEMENT)
    await trial.tell(said, aired(said), started(14, 30, "2714", item="groups", clue="gate"))
    await trial.press("down")
    assert "Now would cut the clue 'gate'; it is sent again" in whole(trial)
    assert await trial.press("ctrl+n") == []
    assert "Announce now? The clue is cut, and sent again: 'gate'." in whole(trial)
    assert SAID in whole(trial)
    assert await trial.press("enter") == [Announce(SAID, now=True)]
    assert "Announcement now; the clue is cut, and sent again" in whole(trial)
    assert await trial.press("enter") == []
    assert "An announcement needs words" in whole(trial)
    await trial.press("escape")


async def plain_voice(trial: Trial) -> None:
    assert await trial.press("ctrl+p") == []
    shown = whole(trial)
    assert "PLAIN VOICE, all else off?" in shown
    caution = " ".join(trial.text("plain").split())
    assert "This never replaces the venue's own alarm and evacuation arrangements." in caution
    assert "not part of the game" in shown
    trial.clock.wait(0.2)
    assert await trial.press("ctrl+p") == [PlainVoice("")]
    assert await trial.press("ctrl+p", "ctrl+p") == []  # still held down
    begun = PlainVoiceStarted(at(15), LEAVE, "operator")
    voice = started(15, 20, LEAVE, part=Part.PLAIN_VOICE)
    await trial.tell(begun, Held(at(15)), voice, output(16))
    shown = whole(trial)
    assert "all else is off air" in shown
    assert "PLAIN VOICE" in trial.text("on_air")
    trial.clock.wait(2)
    assert await trial.press("ctrl+p") == []
    assert "Stop the plain voice?" in whole(trial)
    assert await trial.press("enter") == [StopPlainVoice()]
    await trial.tell(PlainVoiceStopped(at(17), "operator"), output(17))
    assert "Ctrl+O lets a held session go on." in whole(trial)
    assert trial.console.hand.works is Works.SEGMENTS
    await trial.press("ctrl+p", "escape", "down")
    await write(trial, "Help is here.")
    await trial.press("enter")
    assert "PLAIN VOICE again, all else off?" in whole(trial)
    assert "Help is here." in trial.text("plain")
    assert trial.console.hand.question.sentence.endswith("It says: Help is here.")
    assert await trial.press("escape") == []
    assert await trial.press("escape", "ctrl+o") == [Resume()]
    await trial.tell(Resumed(at(17)))


async def facts_by_hand(trial: Trial) -> None:
    await trial.press("tab", "tab", "tab", "down")
    assert await trial.press("space") == [SetFact("lamp_lit", True)]
    await trial.tell(FactChanged(at(17), "lamp_lit", True, "operator"))
    shown = whole(trial)
    assert "lamp_lit is yes." in shown
    assert "20:02 operator" in shown
    assert await trial.press("ctrl+z") == [SetFact("lamp_lit", False)]
    await trial.tell(FactChanged(at(17), "lamp_lit", False, "operator"))


async def signal_and_log(trial: Trial) -> None:
    await trial.press("tab")
    assert await trial.press("left") == [SetSignal(4.5)]
    assert await trial.press("down", "left") == [SetReadability(4.5)]
    heard = (SignalChanged(at(17), 4.5, "the operator"), ReadabilityChanged(at(17), 4.5))
    predicted = replace(started(17, 30, "Heron."), readability=3.9)
    await trial.tell(*heard, predicted, output(18, underruns=2))
    shown = whole(trial)
    assert "4[·]5   4.5, operator" in shown
    assert "Predicted for what is on air, at full signal: 3.9." in shown
    assert await trial.press("ctrl+z") == [SetReadability(None)]
    assert "silent plays" in shown
    assert "! it ran short 2 times" in shown
    assert "held  -8 dB" in shown
    await trial.press("tab")
    assert "▸all" in whole(trial)
    await write(trial, "lamp")
    lines = trial.text("logsheet")
    assert "find lamp_" in lines
    assert "lamp_lit is yes, says operator." in lines
    assert "The session begins." not in lines
    await trial.press("escape", "right", "right", "right")
    assert "▸faults" in whole(trial)
    assert "lamp_lit is yes" not in trial.text("logsheet")
    await trial.press("escape")


async def read_help(trial: Trial) -> None:
    await trial.press("f1")
    assert "1. A TEAM BEGINS" in whole(trial)
    await trial.press("end")
    assert "takes the station off air, for good" in whole(trial)
    assert await trial.press("escape", "enter") == []
    assert "choose first" in whole(trial)
    assert await trial.press("end", "enter") == [Jump("home", JumpTiming.AFTER_ITEM)]


async def end_and_reset(trial: Trial) -> None:
    assert await trial.press("ctrl+e") == []
    assert "? End the session?" in whole(trial)
    assert await trial.press("ctrl+e") == []
    assert await trial.press("enter") == [EndSession()]
    await trial.tell(*session_ended(19, "the operator"), output(19))
    assert "Ctrl+Z brings it back" in whole(trial)
    assert await trial.press("ctrl+z") == [RestoreSession()]
    assert await trial.press("ctrl+x") == []
    assert "Reset all for the next team?" in whole(trial)
    assert await trial.press("enter") == [ResetSession()]
    await trial.tell(*session(30), SegmentEntered(at(30), "watch", "the opening"), output(31))
    assert trial.console.board.view().session_s == pytest.approx(1.0)
    assert not trial.console.query_one("#sign", Panel).is_on_screen


STEPS = (
    begin,
    jump_and_take_back,
    stall_and_hint,
    hold_and_go_on,
    announce,
    plain_voice,
    facts_by_hand,
    signal_and_log,
    read_help,
    end_and_reset,
)


@pytest.mark.parametrize("size", SIZES, ids=["80x24", "120x40", "200x60"])
def test_a_whole_session_by_keys(size):
    """Begin, jump, stall, hint, hold, announce, plain voice, facts, log, help, end, reset."""

    async def work(trial: Trial) -> None:
        for number, step in enumerate(STEPS, start=SIZES.index(size)):
            trial.console.palette = (NIGHT, DAY)[number % 2]
            await step(trial)
            trial.clock.wait(2)

    on_console(work, opened(), output(0), size=size)
