"""The plain voice: it takes the air from everything, whenever, and gives it back when told."""

import pytest

from broadcaster.script.plain_voice import LEAVE_THE_ROOM
from broadcaster.script.values import LONGEST_TEXT
from broadcaster.story.cue import Carrier
from broadcaster.story.events import (
    Announce,
    AnnouncementsWaiting,
    EndSession,
    GiveHint,
    Held,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    Part,
    PlainVoice,
    PlainVoiceStarted,
    PlainVoiceStopped,
    Refused,
    ResetSession,
    RestoreSession,
    Resume,
    SessionClock,
    SessionEnded,
    SetFact,
    StartSession,
    StopPlainVoice,
    TimetableDue,
)
from broadcaster.story.plain_voice import REST_S
from broadcaster.units import RATE
from tests.story.make import Run, entry, programme, say, segment

LEAVE = LEAVE_THE_ROOM["en"]
SCRIPT = programme(
    {
        "watch": segment(
            say("one"),
            say("two", times=2),
            exits=({"to": "far", "when": "lamp", "at once": "yes"},),
            hints=(say("hint"),),
        ),
        "far": segment(say("far")),
    },
    facts={"lamp": False},
    timetable=(entry(say("quarter"), at="1 min"),),
)


def on_air() -> Run:
    """A session whose first item is on air."""
    run = Run(SCRIPT).after(5).send(StartSession())
    run.border()
    return run


def test_it_cuts_what_is_on_air_and_holds_the_session() -> None:
    """And says that, and who wanted it."""
    run = on_air().after(1)
    run.told.clear()
    run.send(PlainVoice("Stand still.", "button"))
    assert run.cut
    assert run.told == [
        SessionClock(run.frame, RATE, running=False),
        Held(run.frame),
        PlainVoiceStarted(run.frame, "Stand still.", "button"),
    ]


def test_it_speaks_and_rests_until_it_is_stopped() -> None:
    """Each time is counted; nothing else goes out."""
    run = on_air().send(PlainVoice("Stand still."))
    cues = [run.border() for _ in range(5)]
    assert [(cue.text, cue.time) for cue in cues if cue] == [
        ("Stand still.", 1),
        ("rest", 1),
        ("Stand still.", 2),
        ("rest", 2),
        ("Stand still.", 3),
    ]
    assert {cue.part for cue in cues if cue} == {Part.PLAIN_VOICE}
    assert [cue.item for cue in cues if cue][1] == Carrier(carrier=REST_S)


def test_it_goes_on_air_at_stand_by_and_after_a_session_too() -> None:
    """Nothing is held then, and the station stands by again afterwards."""
    for run in (Run(SCRIPT), on_air().send(ResetSession())):
        run.told.clear()
        run.send(PlainVoice())
        assert run.told == [PlainVoiceStarted(run.frame, LEAVE, "operator")]
        assert not run.story.waits(run.state)
        assert run.texts(1) == [LEAVE]
        run.send(StopPlainVoice())
        assert run.border() is None
        assert run.story.waits(run.state)


def test_the_programme_may_say_it_in_its_own_words() -> None:
    """`plain voice:` of the script is what is said without a text."""
    own = SCRIPT.model_copy(update={"plain_voice": "Go out by the red door."})
    assert Run(own).send(PlainVoice()).texts(1) == ["Go out by the red door."]


@pytest.mark.parametrize("text", ["", "  ", "!?"])
def test_no_text_keeps_it_off_the_air(text: str) -> None:
    """What cannot be spoken is the prepared text."""
    assert on_air().send(PlainVoice(text)).texts(1) == [LEAVE]


def test_a_text_that_is_too_long_is_cut_and_not_refused() -> None:
    """There is no time to shorten it."""
    run = on_air().send(PlainVoice("x" * (LONGEST_TEXT + 1)))
    assert run.texts(1) == ["x" * LONGEST_TEXT]


def test_another_text_is_said_from_the_next_time_on() -> None:
    """The sentence on air is finished; the same text again changes nothing."""
    run = on_air().send(PlainVoice("Stand still."))
    run.border()
    run.send(PlainVoice("Come out."))
    assert not run.cut
    assert run.told[-1] == PlainVoiceStarted(run.frame, "Come out.", "operator")
    assert run.texts(1) == ["Come out."]
    told = len(run.told)
    run.send(PlainVoice("Come out."))
    assert len(run.told) == told


def test_after_it_the_session_stays_held_until_it_is_resumed() -> None:
    """The clock did not run, and the item that was cut is sent again."""
    run = on_air()
    run.border()
    run.after(2).send(PlainVoice())
    turn_again = run.story.again(run.state)  # as playout does with what it has cut
    run.state = turn_again
    run.border()
    run.after(100).send(StopPlainVoice())
    assert run.cut
    assert run.told[-1] == PlainVoiceStopped(run.frame, "operator")
    assert run.border() is None
    run.after(10).send(Resume())
    assert run.told[-2] == SessionClock(run.frame, 2 * RATE, running=True)
    assert run.texts(3) == ["two", "two", "one"]


def test_a_held_session_stays_held_and_is_told_so_once() -> None:
    """There is nothing on air to cut, and nothing to send again."""
    run = on_air().send(Hold())
    run.border()
    run.told.clear()
    run.send(PlainVoice()).send(StopPlainVoice()).send(Resume())
    assert not any(isinstance(event, Held) for event in run.told)
    assert run.texts(1) == ["two"]


def test_announcements_are_forgotten() -> None:
    """The one on air and the one that waits: nothing of the game follows on it."""
    run = on_air().send(Announce("First."))
    run.border()
    run.send(Announce("Second.")).send(PlainVoice())
    assert AnnouncementsWaiting(run.frame, ()) in run.told[-4:]
    run.border()
    run.send(StopPlainVoice())
    assert run.border() is None
    assert run.send(Resume()).texts(2) == ["two", "two"]


@pytest.mark.parametrize(
    "event",
    [
        Jump("far", JumpTiming.NOW),
        SetFact("lamp", True),
        GiveHint(),
        TimetableDue(0),
        EndSession(),
        ResetSession(),
    ],
    ids=lambda event: type(event).__name__,
)
def test_nothing_that_comes_takes_the_air_from_it(event: InEvent) -> None:
    """It is noted, and nothing is cut; the next border is the plain voice's."""
    run = on_air().send(PlainVoice("Stand still."))
    run.border()
    run.send(event)
    assert not isinstance(run.told[-1], Refused)
    assert not run.cut
    assert run.border().part is Part.PLAIN_VOICE  # type: ignore[union-attr]
    run.after(100).tick()
    assert not run.cut


@pytest.mark.parametrize("event", [Announce("Step back."), Announce("Now.", now=True), Resume()])
def test_what_would_speak_over_it_is_refused(event: InEvent) -> None:
    """In a sentence that says how."""
    run = on_air().send(PlainVoice()).send(event)
    assert run.told[-1] == Refused(run.frame, "The plain voice is on air; stop it first.")
    stand_by = Run(SCRIPT).send(PlainVoice()).send(StartSession())
    assert stand_by.told[-1] == Refused(0, "The plain voice is on air; stop it first.")


def test_a_session_can_end_under_it() -> None:
    """At once; and it can be restored afterwards, held."""
    run = on_air().send(PlainVoice()).send(EndSession())
    assert run.told[-1] == SessionEnded(run.frame, "the operator")
    run.send(StopPlainVoice())
    assert run.border() is None
    run.send(RestoreSession())
    assert run.border() is None
    assert run.send(Resume()).texts(1) == ["two"]


def test_a_jump_that_came_meanwhile_is_made_when_the_session_goes_on() -> None:
    """As while it is held."""
    run = on_air().send(PlainVoice()).send(Jump("far", JumpTiming.NOW)).send(StopPlainVoice())
    assert run.border() is None
    assert run.send(Resume()).texts(1) == ["far"]


def test_what_is_not_on_air_cannot_be_stopped() -> None:
    """In a sentence."""
    run = on_air().send(StopPlainVoice())
    assert run.told[-1] == Refused(run.frame, "The plain voice is not on air.")
