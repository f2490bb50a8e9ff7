"""What the operator takes back: the end of a session, a reset, an announcement."""

import pytest

from broadcaster.story.events import (
    Announce,
    AnnouncementsWaiting,
    EndSession,
    FactChanged,
    Held,
    Hold,
    InEvent,
    Jump,
    MilestoneMet,
    MilestoneOverdue,
    PlainVoice,
    ReadabilityChanged,
    Refused,
    ResetSession,
    RestoreSession,
    Resume,
    SegmentEntered,
    SessionClock,
    SessionRestored,
    SetFact,
    SetReadability,
    SetSignal,
    SignalChanged,
    StartSession,
    StopPlainVoice,
    TakeBackAnnouncement,
)
from broadcaster.story.restoring import RESTORE_FRAMES
from broadcaster.units import RATE
from tests.story.make import Run, programme, say, segment

NOTHING = "No session was ended or reset by the operator in the last minute."


def on_air() -> Run:
    """A minute into a session, in its second segment, with its first item on air."""
    script = programme(
        {
            "watch": segment(say("one")),
            "far": segment(
                say("far"), say("further"), exits=({"to": "end", "when": "crates = 4"},)
            ),
        },
        facts={"lamp": False, "crates": {"at first": 0, "from": 0, "to": 4}},
        milestones={
            "lamp": {"when": "lamp", "by": "10 min"},
            "crates": {"when": "crates = 4", "by": "30 s", "hint after": "10 min"},
        },
    )
    run = Run(script).send(StartSession()).send(Jump("far"))
    run.border()
    run.after(30).tick().after(10).send(SetFact("lamp", True)).after(20).tick()
    return run


def ended(event: InEvent) -> Run:
    run = on_air().send(event)
    run.border()
    run.told.clear()
    return run.after(20)


@pytest.mark.parametrize("event", [EndSession(), ResetSession()])
def test_a_session_is_restored_as_if_it_had_been_held(event: InEvent) -> None:
    """Its clock, its segment, its milestones with their times; what was cut is sent again."""
    run = ended(event).send(RestoreSession())
    assert run.cut is False
    assert run.told[0] == SessionRestored(run.frame)
    assert run.told[1] == SessionClock(run.frame, 60 * RATE, running=True)
    assert run.told[-3:] == [
        MilestoneMet(run.frame, "lamp", 40 * RATE),
        MilestoneOverdue(run.frame, "crates", 30 * RATE),
        SegmentEntered(run.frame, "far", "the restored session"),
    ]
    assert run.texts(3) == ["far", "further", "far"]
    assert run.story.facts(run.state) == {"lamp": True, "crates": 0}


def test_facts_that_a_reset_forgot_come_back_and_are_told() -> None:
    """Only those that had changed."""
    run = ended(ResetSession()).send(RestoreSession())
    facts = [event for event in run.told if isinstance(event, FactChanged)]
    assert facts == [FactChanged(run.frame, "lamp", True, "the restored session")]


def test_what_the_room_said_after_the_end_holds() -> None:
    """A sensor does not know of the operator's mistakes."""
    run = ended(EndSession()).send(SetFact("crates", 3, "room")).send(RestoreSession())
    assert run.story.facts(run.state) == {"lamp": True, "crates": 3}


@pytest.mark.parametrize("event", [EndSession(), ResetSession()])
def test_the_operators_signal_and_readability_come_back_and_are_told(event: InEvent) -> None:
    """A reset forgot them, and said so; an end did not."""
    run = on_air().send(SetSignal(2)).send(SetReadability(4)).send(event)
    run.border()
    run.after(20).send(RestoreSession())
    assert (run.state.set_strength, run.state.set_readability) == (2, 4)
    assert run.heard(SignalChanged)[-1].strength == 2
    assert run.heard(SignalChanged)[-1].why == "the operator"
    assert run.heard(ReadabilityChanged)[-1].grade == 4
    cue = run.border()
    assert cue
    assert cue.readability == 4


def test_what_the_operator_said_of_reception_after_the_end_holds() -> None:
    """Between the end and its taking back the sliders were moved: they stay where they are."""
    run = on_air().send(SetSignal(2)).send(SetReadability(4)).send(EndSession())
    run.border()
    run.send(SetSignal(3)).send(SetReadability(None)).after(20).send(RestoreSession())
    assert (run.state.set_strength, run.state.set_readability) == (3, None)
    assert run.heard(SignalChanged)[-1].strength == 3
    assert run.heard(ReadabilityChanged)[-1].grade is None


def test_a_session_that_was_held_is_held_again() -> None:
    """Its clock stands where it stood, and it is told to be held."""
    run = on_air().send(Hold())
    run.border()
    run.after(10).send(EndSession())
    run.border()
    run.after(5).send(RestoreSession())
    assert SessionClock(run.frame, 60 * RATE, running=False) in run.told
    assert run.told[-1] == Held(run.frame)
    assert run.border() is None
    run.send(Resume())
    assert run.told[-2] == SessionClock(run.frame, 60 * RATE, running=True)
    assert run.texts(1) == ["further"]


def test_a_session_that_comes_back_under_the_plain_voice_is_held() -> None:
    """Its clock goes on when it is resumed, after the voice has stopped."""
    run = ended(EndSession()).send(PlainVoice("Stand still.")).after(5).send(RestoreSession())
    assert SessionClock(run.frame, 60 * RATE, running=False) in run.told
    assert run.told[-1] == Held(run.frame)
    run.after(5).send(StopPlainVoice())
    assert run.border() is None
    run.send(Resume())
    assert run.told[-2] == SessionClock(run.frame, 60 * RATE, running=True)
    assert run.texts(1) == ["far"]


def test_it_can_be_taken_back_for_a_minute() -> None:
    """To the frame; and never once a new session has begun."""
    run = ended(EndSession())
    run.frame += RESTORE_FRAMES - 20 * RATE
    assert isinstance(run.send(RestoreSession()).told[0], SessionRestored)
    late = ended(EndSession())
    late.frame += RESTORE_FRAMES - 20 * RATE + 1
    assert late.send(RestoreSession()).told[-1] == Refused(late.frame, NOTHING)
    new = ended(EndSession()).send(StartSession())
    sentence = "A session is on air: there is nothing to restore."
    assert new.send(RestoreSession()).told[-1] == Refused(new.frame, sentence)


def test_a_reset_after_an_end_restores_what_was_ended() -> None:
    """The session as it was on air, not the stand by between."""
    run = ended(EndSession()).send(ResetSession()).send(RestoreSession())
    assert run.texts(1) == ["far"]
    assert run.story.facts(run.state)["lamp"] is True


def test_the_storys_own_end_is_not_taken_back() -> None:
    """Only what the operator did."""
    run = on_air().send(SetFact("crates", 4))
    assert run.texts(2) == ["further", "-"]
    assert run.send(RestoreSession()).told[-1] == Refused(run.frame, NOTHING)


# --- announcements ------------------------------------------------------------------------------


def test_the_last_announcement_that_waits_is_taken_back_first() -> None:
    """What waits is told each time that it changes."""
    run = on_air().send(Announce("First.")).send(Announce("Second."))
    assert run.told[-1] == AnnouncementsWaiting(run.frame, ("First.", "Second."))
    run.send(TakeBackAnnouncement())
    assert run.told[-1] == AnnouncementsWaiting(run.frame, ("First.",))
    assert not run.cut
    assert run.texts(2) == ["First.", "further"]
    assert run.told[-1] == AnnouncementsWaiting(run.frame, ())


def test_an_announcement_on_air_is_cut_when_it_is_taken_back() -> None:
    """And what it had cut is sent again, as after its end."""
    run = on_air().send(Announce("Now.", now=True))
    run.state = run.story.again(run.state)  # as playout does with what it has cut
    run.border()
    run.send(TakeBackAnnouncement())
    assert run.cut
    assert run.texts(2) == ["far", "further"]


def test_one_that_must_go_out_now_goes_before_those_that_wait() -> None:
    """Whatever was typed before."""
    run = on_air().send(Announce("Later.")).send(Announce("Now.", now=True))
    assert run.told[-1] == AnnouncementsWaiting(run.frame, ("Now.", "Later."))
    assert run.texts(2) == ["Now.", "Later."]


def test_there_must_be_one_to_take_back() -> None:
    """In a sentence."""
    run = on_air().send(TakeBackAnnouncement())
    assert run.told[-1] == Refused(run.frame, "No announcement is waiting or on air.")
