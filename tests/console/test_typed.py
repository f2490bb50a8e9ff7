"""Line mode: what is typed, what it sends to the station, and what it is answered."""

import pytest

from broadcaster.console.acts import Acts
from broadcaster.console.asking import TYPED
from broadcaster.console.board import Board
from broadcaster.console.typed import COMMANDS, Typist
from broadcaster.story.events import (
    Announce,
    EndSession,
    FactChanged,
    GiveHint,
    HintReady,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    JumpWaiting,
    MilestoneMet,
    OutEvent,
    PlainVoice,
    PlainVoiceStarted,
    Refused,
    ResetSession,
    Resume,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
    StopPlainVoice,
    TakeBackHint,
    TakeBackJump,
)
from tests.console.scene import (
    at,
    clock,
    held,
    on_air,
    opened,
    output,
    programme,
    session,
    session_ended,
)

PLAIN = PlainVoiceStarted(at(10), "Please leave the room.", "operator")


class Sitting:
    """Somebody who types after these events."""

    def __init__(self, *events: OutEvent) -> None:
        self.clock = time = clock()
        self.board = Board(programme(), time)
        for event in events:
            self.board.apply(event)
        self.sent: list[InEvent] = []
        self.closed = 0
        acts = Acts(self.sent.append, time, leave=self._close, wording=TYPED)
        self.typist = Typist(acts, self.board)

    def _close(self) -> None:
        self.closed += 1

    def type(self, *lines: str) -> str:
        """What the last line is answered; what all of them sent is in `sent`."""
        self.sent.clear()
        return "\n".join([self.typist.obey(line) for line in lines][-1])


@pytest.mark.parametrize(
    ("line", "sent", "answer"),
    [
        ("jump home", Jump("home", JumpTiming.AFTER_ITEM), "Jump to home, after this item."),
        ("jump 9 now", Jump("home", JumpTiming.NOW), "Jump to home, now."),
        ("jump the w after round", Jump("the word", JumpTiming.AFTER_ROUND), "after this round"),
        ("jump 9 now with a fade", Jump("home", JumpTiming.NOW, "fade"), "now, with a fade."),
        ("jump home with cut", Jump("home", transition="cut"), "after this item, with a cut."),
        ("signal 3.5", SetSignal(3.5), "The signal is at 3.5."),
        ("signal script", SetSignal(None), "The signal is as the script says."),
        ("readability 2", SetReadability(2.0), "Readability is 2 for what begins from now on."),
        ("hint", GiveHint(), "Hint 1 of 3 goes out after this item: The figures come round."),
        ("hold", Hold(), "The session is held after this item"),
        ("say  Mind the  step.", Announce("Mind the step."), "after this item: Mind the step."),
        ("interrupt Stop.", Announce("Stop.", now=True), "Announcement now"),
        ("set crates_open 3", SetFact("crates_open", 3), "crates_open is 3."),
        ("set lamp_lit yes", SetFact("lamp_lit", True), "lamp_lit is yes."),
    ],
)
def test_what_a_line_sends(line, sent, answer):
    """Each sends one event, and is answered by one sentence."""
    sitting = Sitting(*on_air())
    assert answer in sitting.type(line)
    assert sitting.sent == [sent]


@pytest.mark.parametrize(
    ("line", "question", "sent"),
    [
        ("end", "End the session?", EndSession()),
        ("reset", "End the session and reset all for the next team?", ResetSession()),
        ("plain voice", "PLAIN VOICE, all else off? Prepared text.", PlainVoice("")),
        ("plain voice Out, please.", "It says: Out, please.", PlainVoice("Out, please.")),
    ],
)
def test_what_asks_first(line, question, sent):
    """A question is answered by `yes`; `no`, or anything else, drops it."""
    sitting = Sitting(*on_air())
    assert f"{question} Type yes or no." in sitting.type(line)
    assert sitting.sent == []
    assert sitting.type("no") == "Left as it was."
    assert "The question is closed: " in sitting.type(line, "facts")
    sitting.type("yes")
    assert sitting.sent == []
    sitting.type(line, "yes")
    assert sitting.sent == [sent]


def test_plain_voice_tells_its_limits():
    """Before it is confirmed it says what it does not replace."""
    assert "never replaces the venue's own alarm" in Sitting(*on_air()).type("plain voice")


def test_stopping_the_plain_voice():
    """It is asked, and only where it is on air."""
    assert Sitting(*on_air()).type("stop plain voice") == "The plain voice is not on air."
    sitting = Sitting(*on_air(), PLAIN)
    sitting.type("stop plain voice", "yes")
    assert sitting.sent == [StopPlainVoice()]


def test_going_on():
    """`go on` lets a held session go on, and says so where none is held."""
    assert Sitting(*on_air()).type("go on") == "No session is held."
    sitting = Sitting(*on_air(), *held(12))
    assert sitting.type("hold") == "The session is held already."
    assert sitting.type("go on") == "The session goes on."
    assert sitting.sent == [Resume()]


def test_taking_back():
    """`back` takes back what waits, whoever did it, and then has nothing more."""
    sitting = Sitting(*on_air(), JumpWaiting(at(9), "home", JumpTiming.AFTER_ROUND))
    assert sitting.type("back") == "Taken back: the jump."
    assert sitting.sent == [TakeBackJump()]
    assert "nothing to take back" in sitting.type("back")


def test_nothing_of_an_earlier_session_is_taken_back():
    """What was done for the last team is past when a new one begins."""
    sitting = Sitting(*on_air(), *held(12))
    sitting.type("go on", "reset", "yes")
    for event in (*session_ended(20, "reset", of_s=0), *session(30), output(31)):
        sitting.board.apply(event)
    assert "nothing to take back" in sitting.type("back")
    assert sitting.sent == []


def test_what_does_not_come_back_with_a_fact():
    """The story does not go back, and a milestone that was met stays met."""
    sitting = Sitting(*on_air())
    sitting.type("set lamp_lit yes")
    for event in (FactChanged(at(9), "lamp_lit", True, "operator"), MilestoneMet(at(9), "lamp")):
        sitting.board.apply(event)
    told = sitting.type("back")
    assert told.startswith("Taken back: lamp_lit, to no.")
    gone = "Where the story has gone by it, it does not go back"
    assert told.endswith(f"{gone}; a milestone that is met stays met.")


def test_a_hint_that_waits():
    """It is told of, not asked for twice, and can be taken back."""
    sitting = Sitting(*on_air())
    sitting.type("hint")
    sitting.board.apply(HintReady(at(10), "watch", 0, 3, ""))
    assert sitting.type("hint") == "Hint 1 of 3 waits for the end of the item."
    assert sitting.type("back") == "Taken back: the hint."
    assert sitting.sent == [TakeBackHint()]


def test_a_hint_without_a_session():
    """It is said how one begins."""
    assert Sitting(opened()).type("hint") == "No session is on air: `start` begins one."


def test_a_start_that_gives_up_the_last_session_asks():
    """While it could still be brought back."""
    sitting = Sitting(*on_air(), *session_ended(10, "reset", of_s=0))
    assert "The last session cannot be brought back then." in sitting.type("start")
    assert sitting.sent == []
    assert sitting.type("start", "yes") == "The session begins."
    assert sitting.sent == [StartSession()]


def test_a_clue_is_not_cut_unasked():
    """A jump now over a clue asks, and names the clue."""
    sitting = Sitting(*on_air("the first crate"))
    asked = "Cut the clue and jump to home now? It is 'the first crate'."
    told = f"{asked} Type yes or no; `after round` cuts nothing."
    assert sitting.type("jump home now") == told
    assert sitting.sent == []


@pytest.mark.parametrize(
    ("line", "answer"),
    [
        ("jum home", "There is no command `jum home`. Did you mean `jump`? `help` lists all."),
        ("jump nowhere", "No segment is called 'nowhere'. `segments` lists them."),
        ("jump w", "No segment is called 'w'. `segments` lists them."),  # of three
        (
            "jump home with fog",
            "There is no transition 'fog': cut, static burst, fade, retune sweep, carrier drop.",
        ),
        ("signal 6", "`signal` takes 0 to 5, or `script`."),
        ("readability none", "`readability` takes 1 to 5, or `script`."),
        ("set moon 1", "There is no fact 'moon'. `facts` lists them."),
        ("set crates_open two", "crates_open cannot be 'two': it is a whole number."),
        ("set lamp_lit 1", "lamp_lit cannot be '1': it is yes or no."),
        ("yes", "Nothing is asked."),
        ("", ""),
    ],
)
def test_what_cannot_be_obeyed(line, answer):
    """Nothing is sent, and a sentence says what would be right."""
    sitting = Sitting(*on_air())
    assert sitting.type(line) == answer
    assert sitting.sent == []


def test_help_lists_every_command():
    """A line for each, with what it takes and what it does."""
    told = Sitting(opened()).type("help").splitlines()
    assert len(told) == len(COMMANDS)
    takes = "SEGMENT [now or after round] [with a TRANSITION]"
    assert f"jump {takes}: go there, else after this item." in told


@pytest.mark.parametrize(
    ("line", "words"),
    [
        ("now", "On air, 0:20 left: Heron calling the light."),
        ("now", "Next: groups 2714"),
        ("now", "Hint 1 of 3 is ready: The figures come round."),
        ("segments", "1 watch (on air): Heron calls a dark tower."),
        ("facts", "lamp_lit is no, as in the script."),
        ("pace", "lamp: due in 25:50."),
        ("log session", "20:02:11 The session begins."),
        ("signal", "signal: 5, by the script."),
        ("readability", "readability: as it sounds, by the script."),
        ("output", "silent plays, peak -8 dB, 0 underruns, 0.20 s ready."),
    ],
)
def test_what_can_be_read(line, words):
    """Each list is short sentences, a line each, without anything drawn."""
    told = Sitting(*on_air()).type(line)
    assert words in told.splitlines()
    assert set(told).isdisjoint("│█▀▄●◆▸")


def test_off_air():
    """It asks, and then closes the station."""
    sitting = Sitting(*on_air())
    assert "Take the station off air? Type yes or no." in sitting.type("off air")
    sitting.type("off air", "yes")
    assert sitting.closed == 1


def test_ctrl_c_asks_while_a_session_runs():
    """As `off air` does; again it is the answer, if not at once; then it waits for nothing."""
    sitting = Sitting(*on_air())
    assert sitting.typist.interrupt() == [
        "A SESSION RUNS: all silent! Take the station off air? Type yes or no.",
        "Ctrl-C again is yes, too.",
    ]
    assert sitting.typist.interrupt() == ["Too quick: once more, if it is meant."]
    assert sitting.closed == 0
    sitting.clock.wait(1)
    sitting.typist.interrupt()
    assert sitting.closed == 1
    with pytest.raises(KeyboardInterrupt):
        sitting.typist.interrupt()


def test_ctrl_c_answers_only_what_it_asked():
    """Another question that is open is no yes to going off air, nor is one that lapsed."""
    sitting = Sitting(*on_air())
    sitting.type("plain voice")
    for _ in range(2):
        assert sitting.typist.interrupt()[-1] == "Ctrl-C again is yes, too."
        sitting.clock.wait(11)
        left = "Not answered: the station is not taken off air."
        assert sitting.typist.settle() == [left]
    assert sitting.sent == []
    assert sitting.closed == 0


def test_ctrl_c_does_not_ask_without_a_session():
    """There is nobody who would miss the station."""
    with pytest.raises(KeyboardInterrupt):
        Sitting(opened()).typist.interrupt()


def test_an_empty_line_does_not_drop_a_question():
    """It is asked again."""
    sitting = Sitting(*on_air())
    sitting.type("plain voice")
    assert sitting.type("") == "PLAIN VOICE, all else off? Prepared text. Type yes or no."
    sitting.type("yes")
    assert sitting.sent == [PlainVoice("")]


def test_a_session_begins():
    """`start` needs no question: it can be ended."""
    sitting = Sitting(opened())
    assert sitting.type("begin") == "The session begins."
    assert sitting.type("start") == "The session begins."
    assert sitting.sent == [StartSession()]


def test_a_refusal_is_the_stations_own_line():
    """What the station refuses is printed as it comes; the typist does not answer for it."""
    sitting = Sitting(opened())
    assert sitting.type("end") == ""
    sitting.board.apply(Refused(at(1), "No session is on air."))
    assert sitting.type("log refuse") == "No line is like that."
