"""The operator's hand: what each key does, without a screen."""

import re
from dataclasses import dataclass, field
from string import ascii_lowercase

import pytest

from broadcaster.clock import VirtualClock
from broadcaster.console.board import Board
from broadcaster.console.hand import Hand
from broadcaster.console.hands.segments import find_segments
from broadcaster.console.hands.sheets import Works, moved
from broadcaster.console.helptext import PAGE
from broadcaster.console.view import View
from broadcaster.script.conditions import parse_condition
from broadcaster.script.facts import Fact
from broadcaster.script.programme import Exit
from broadcaster.story.events import (
    AnnouncementsWaiting,
    EndSession,
    FactChanged,
    GiveHint,
    Held,
    Hold,
    InEvent,
    Jump,
    JumpTiming,
    JumpWaiting,
    OutEvent,
    Part,
    PlainVoice,
    PlainVoiceStarted,
    PlainVoiceStopped,
    Resume,
    Resumed,
    SetFact,
    StartSession,
    StationClosed,
    StopPlainVoice,
    TakeBackJump,
)
from tests.console.scene import SEGMENTS, aired, at, clock, on_air, opened, programme, started

NAMES = list(SEGMENTS)
TO_FACTS = ("tab", "tab", "tab")


@dataclass
class Desk:
    """A hand at a desk, and what came of its keys."""

    board: Board
    clock: VirtualClock
    sent: list[InEvent] = field(default_factory=list)
    left: int = 0
    lights: int = 0

    def __post_init__(self) -> None:
        self.hand = Hand(self.sent.append, self.clock, leave=self._leave, switch_light=self._light)

    def _leave(self) -> None:
        self.left += 1

    def _light(self) -> None:
        self.lights += 1

    @property
    def view(self) -> View:
        return self.board.view()

    @property
    def chosen(self) -> str:
        return NAMES[self.hand.segments.chosen]

    def press(self, *keys: str) -> list[InEvent]:
        """Press keys, a tenth of a second apart; what they sent."""
        self.sent.clear()
        for key in keys:
            self.hand.press(key, key if len(key) == 1 else None, self.view)
            self.clock.wait(0.1)
        return list(self.sent)

    def strike(self, key: str, then_s: float, late_s: float = 0.0) -> list[InEvent]:
        """Strike a key, and let so much time pass; what it sent."""
        self.sent.clear()
        self.hand.press(key, None, self.view, late_s)
        self.clock.wait(then_s)
        return list(self.sent)


def desk(*events: OutEvent, clue: str | None = None, leads_on: str = "") -> Desk:
    """A desk after these events; without any, in the middle of an item, with its clue if any.

    leads_on: a fact that is true, and the condition of the exit that `watch again` takes at once.
    """
    time, script = clock(), programme()
    events = events or tuple(on_air(clue))
    if leads_on:
        way_out = Exit(to="home", when=parse_condition(leads_on), at_once=True)
        segment = script.segments["watch again"].model_copy(update={"exits": (way_out,)})
        segments = {**script.segments, "watch again": segment}
        script = script.model_copy(update={"segments": segments})
        events = (*events, FactChanged(at(9), leads_on, True, "room"))
    board = Board(script, time)
    for event in events:
        board.apply(event)
    return Desk(board, time)


# --- choosing -----------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("typed", "name"),
    [
        ("3", "the word"),
        ("9", "home"),
        ("w", "watch"),
        ("wr", "wrong stage"),
        ("af", "afloat"),
        ("ga", "the gate"),  # a later word of its name
        ("the k", "the key"),
        ("HOME", "home"),
    ],
)
def test_find_segment(typed, name):
    """A number, or the beginning of any word of the name, means a segment."""
    assert NAMES[find_segments(NAMES, typed)[0]] == name


@pytest.mark.parametrize("typed", ["0", "10", "x", "omed"])
def test_find_nothing(typed):
    """What means no segment finds none."""
    assert find_segments(NAMES, typed) == []


def test_names_before_later_words():
    """A name that begins with the letters goes before one that has them within."""
    assert find_segments(["the gate", "gate two"], "gate") == [1, 0]


def test_two_figures_choose_a_segment_past_the_ninth():
    """1 and 2 typed quickly mean 12."""
    assert find_segments([str(n) for n in range(20)], "12")[0] == 11


def test_arrows_stop_at_the_ends():
    """The choice does not run over the ends of the list."""
    assert (moved("up", 0, 9), moved("down", 8, 9)) == (0, 8)
    assert (moved("home", 5, 9), moved("end", 5, 9)) == (0, 8)
    assert moved("x", 5, 9) is None


def test_typing_chooses_and_sends_nothing():
    """Letters and figures never change what is on air."""
    trial = desk()
    assert trial.press("t", "h", "e", " ", "k") == []
    assert trial.chosen == "the key"


def test_letters_typed_later_begin_anew():
    """After a pause, typing is a new word."""
    trial = desk()
    trial.press("h", "o")
    trial.clock.wait(2)
    trial.press("a")
    assert trial.chosen == "afloat"


def test_letters_that_match_nothing_are_refused_as_a_whole():
    """A word typed by mistake does not choose by its last letters, and no key jumps after it."""
    trial = desk()
    assert trial.press(*"hello", "enter") == []
    assert trial.hand.remark.startswith("No segment is called 'hello': no jump is made.")


def test_what_is_not_found_is_said():
    """Letters that mean nothing put the choice back where it was, and say so."""
    trial = desk()
    trial.press("9", "q")
    assert trial.chosen == "watch"
    assert trial.hand.remark == "No segment is called '9q'."


@pytest.mark.parametrize("keys", [(*"ghqz", "escape"), (*"ga", "escape"), ("g", "backspace")])
def test_what_is_typed_no_more_is_chosen_no_more(keys):
    """No key pressed by reflex jumps by letters that were given up."""
    trial = desk()
    assert trial.press(*keys, "enter") == []
    assert trial.chosen == "watch"
    assert trial.hand.remark.startswith("No jump is made: choose first.")


def test_all_that_was_typed_is_said():
    """Letters typed after a miss belong to the same word, and choose nothing by themselves."""
    trial = desk()
    assert trial.press("z", "z", "h") == []
    assert trial.chosen == "watch"
    assert trial.hand.remark == "No segment is called 'zzh'."


@pytest.mark.parametrize("key", ["enter", "ctrl+r", "ctrl+n"])
@pytest.mark.parametrize("wait_s", [0, 30])
def test_no_jump_after_a_miss(key, wait_s):
    """What was typed is no segment, so no jump key takes the line that was chosen before."""
    trial = desk()
    trial.press("z", "z", "z")
    trial.clock.wait(wait_s)
    assert trial.press(key, key) == []
    assert trial.hand.remark == "No segment is called 'zzz': no jump is made. Esc forgets it."


@pytest.mark.parametrize("key", ["escape", "up", "backspace"])
def test_a_miss_is_forgotten(key):
    """Esc, an arrow or the backspace key, and the chosen line is meant again."""
    trial = desk()
    assert trial.press("z", key, "down", "enter") == [Jump("watch again")]


def test_after_a_miss_typing_begins_anew_in_a_while():
    """A new word need not be told apart by a key."""
    trial = desk()
    trial.press("z", "z")
    trial.clock.wait(2)
    assert trial.press("h", "o", "enter") == [Jump("home", JumpTiming.AFTER_ITEM)]


# --- jumping ------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("key", "timing"),
    [
        ("enter", JumpTiming.AFTER_ITEM),
        ("ctrl+r", JumpTiming.AFTER_ROUND),
        ("ctrl+n", JumpTiming.NOW),
    ],
)
def test_jump_keys(key, timing):
    """Each jump key sends one jump to the chosen segment, with its timing."""
    assert desk().press("down", "down", key) == [Jump("the word", timing)]


def test_cutting_a_clue_is_asked_first():
    """While a clue is on air, one press of the key for now sends nothing, and names the clue."""
    trial = desk(*on_air("the first crate"))
    assert trial.press("home", "ctrl+n") == []
    assert trial.hand.question is not None
    asked = "Cut the clue and jump to watch now? It is 'the first crate'."
    assert trial.hand.question.sentence == asked


def test_enter_cuts_the_clue():
    """The question is answered by Enter, and the jump is made once."""
    trial = desk(*on_air("the first crate"))
    assert trial.press("down", "ctrl+n", "enter") == [Jump("watch again", JumpTiming.NOW)]
    assert trial.hand.question is None


@pytest.mark.parametrize("key", ["ctrl+n", "ctrl+e", "ctrl+q"])
def test_a_key_held_down_does_not_answer_its_own_question(key):
    """However often the terminal repeats the key, it only asks."""
    trial = desk(*on_air("the first crate"))
    assert trial.press("home", *[key] * 20) == []
    assert trial.left == 0
    assert trial.hand.question is not None


def test_escape_keeps_the_clue():
    """Esc drops the question; Enter after it is a jump after the item again."""
    trial = desk(*on_air("the first crate"))
    assert trial.press("down", "ctrl+n", "escape") == []
    assert trial.press("enter") == [Jump("watch again", JumpTiming.AFTER_ITEM)]


def test_another_key_drops_the_question_and_does_its_own_work():
    """Choosing another segment is an answer, too: no."""
    trial = desk(*on_air("the first crate"))
    assert trial.press("home", "ctrl+n", "down", "ctrl+r") == [
        Jump("watch again", JumpTiming.AFTER_ROUND),
    ]


def test_a_question_does_not_wait_for_ever():
    """Ten seconds on, Enter is a jump after the item again, and cuts nothing."""
    trial = desk(*on_air("the first crate"))
    trial.press("down", "ctrl+n")
    trial.clock.wait(10.1)
    assert trial.press("enter") == [Jump("watch again", JumpTiming.AFTER_ITEM)]


@pytest.mark.parametrize("key", ["enter", "ctrl+r", "ctrl+n"])
def test_a_key_held_down_jumps_once(key):
    """The terminal repeats a key that is held; the story is moved once."""
    assert len(desk().press("down", *[key] * 5)) == 1


def test_a_second_thought_is_not_taken_for_a_held_key():
    """Another segment, or the same chosen again after it was taken back, is a jump of its own."""
    trial = desk()
    assert len(trial.press("down", "ctrl+n", "down", "ctrl+n")) == 2
    assert len(trial.press("end", "enter", "ctrl+z", "end", "enter")) == 3


@pytest.mark.parametrize("key", ["enter", "ctrl+r", "ctrl+n"])
@pytest.mark.parametrize("before", [(), ("down", "tab", "escape"), ("down", "ctrl+r", "wait")])
def test_a_jump_is_chosen_first(key, before):
    """Since the sheet was opened and since the last jump; else the keys say how."""
    trial = desk()
    for one in before:
        trial.clock.wait(2) if one == "wait" else trial.press(one)
    assert trial.press(key) == []
    assert trial.hand.question is None
    assert trial.hand.remark.startswith("No jump is made: choose first.")


def test_a_reflex_after_a_jump_is_told():
    """Enter within a second of a jump now does nothing, and says so."""
    trial = desk()
    assert trial.press("down", "ctrl+n", "enter") == [Jump("watch again", JumpTiming.NOW)]
    said = "Jump to watch again, now. Enter so soon after it does nothing."
    assert trial.hand.remark == said


def test_beginning_the_segment_on_air_again_asks():
    """Whoever jumps where the story is already may not know it."""
    trial = desk()
    assert trial.press("home", "ctrl+r") == []
    assert trial.hand.question is not None
    assert trial.hand.question.sentence == "watch is on air. Begin it again after this round?"
    assert trial.press("enter") == [Jump("watch", JumpTiming.AFTER_ROUND)]


def test_the_next_jump_has_the_transition_that_was_chosen():
    """It is chosen with the arrows, goes with the jump, a held key included, and is then over."""
    trial = desk()
    assert trial.press("down", "right", "right") == []
    assert trial.hand.remark == "The next jump is made with a static burst."
    assert trial.press("enter", "enter") == [Jump("watch again", transition="static burst")]
    assert trial.hand.remark == "Jump to watch again, after this item, with a static burst."
    trial.clock.wait(2)
    assert trial.press("end", "ctrl+r") == [Jump("home", JumpTiming.AFTER_ROUND)]


def test_the_transition_of_a_jump_that_waits_is_not_changed():
    """It is for the next one, and says so."""
    trial = desk(*on_air(), JumpWaiting(at(10), "home", JumpTiming.AFTER_ROUND))
    trial.press("right")
    told = "The next jump is made with a cut. The one that waits is left as it is."
    assert trial.hand.remark == told


def test_transitions_go_round_what_the_script_says():
    """Esc leaves it to the script, too."""
    trial = desk()
    trial.press(*["right"] * 6)
    assert trial.hand.remark == "The next jump is made as the script says."
    trial.press("left")
    assert trial.hand.segments.transition == "carrier drop"
    trial.press("escape")
    assert trial.press("end", "enter") == [Jump("home")]


def test_the_question_names_the_transition():
    """Before it cuts a clue."""
    trial = desk(clue="the gate")
    trial.press("home", "right", "ctrl+n")
    assert trial.hand.question is not None
    sentence = "Cut the clue and jump to watch now with a cut? It is 'the gate'."
    assert trial.hand.question.sentence == sentence
    assert trial.press("enter") == [Jump("watch", JumpTiming.NOW, "cut")]


def test_taking_back():
    """A waiting jump is taken back by a key; the station says what became of it."""
    trial = desk(*on_air(), JumpWaiting(at(10), "home", JumpTiming.AFTER_ROUND))
    assert trial.press("ctrl+z") == [TakeBackJump()]


def test_taking_back_while_a_question_is_open_only_closes_it():
    """A jump that waits from before is not taken back unseen; the same key again does it."""
    waits = JumpWaiting(at(10), "home", JumpTiming.AFTER_ROUND)
    trial = desk(*on_air("the first crate"), waits)
    assert trial.press("home", "ctrl+n", "ctrl+z") == []
    assert trial.hand.question is None
    assert trial.hand.remark == "The question is closed; the jump to home still waits."
    assert trial.press("ctrl+z") == [TakeBackJump()]


def test_a_jump_that_the_story_would_undo_is_warned_of_and_made():
    """An `at once` exit that holds by the facts leads on; the operator may jump all the same."""
    trial = desk(clue="the first crate", leads_on="lamp_lit")
    assert trial.press("down", "enter") == [Jump("watch again", JumpTiming.AFTER_ITEM)]
    warning = "its exit `lamp_lit` holds: the story will move on at once."
    assert trial.hand.remark == f"Jump to watch again: {warning}"
    trial.press("home", "down", "ctrl+n")
    assert trial.hand.question is not None
    assert trial.hand.question.sentence.endswith(f"'the first crate'. And {warning}")


# --- the session and the station ----------------------------------------------------------------


def test_start():
    """A session starts on one key: it can be ended again."""
    assert desk(opened()).press("ctrl+s") == [StartSession()]


def test_a_new_team_begins_at_the_first_segment():
    """What was chosen for the last one is not left under the jump keys."""
    trial = desk(opened())
    trial.press("end", "right", "ctrl+s")
    assert trial.chosen == NAMES[0]
    assert trial.hand.segments.transition is None


def test_end_asks():
    """A session on air is ended only after a question."""
    trial = desk()
    assert trial.press("ctrl+e") == []
    assert trial.press("enter") == [EndSession()]


def test_end_without_a_session_is_the_storys_to_refuse():
    """The console decides no rule of the broadcast: it sends, and the story answers."""
    assert desk(opened()).press("ctrl+e") == [EndSession()]


@pytest.mark.parametrize("key", ["ctrl+q", "ctrl+c"])
@pytest.mark.parametrize("events", [[opened()], on_air()])
def test_leaving_asks_while_the_station_is_open(key, events):
    """Standing by or on air, leaving takes the station off air, and is asked about gravely."""
    trial = desk(*events)
    trial.press(key)
    assert trial.left == 0
    assert trial.hand.question is not None
    assert trial.hand.question.grave
    assert "Take the station off air?" in trial.hand.question.sentence
    assert ("A SESSION RUNS" in trial.hand.question.sentence) == (len(events) > 1)
    trial.press("enter")
    assert trial.left == 1


def test_leaving_after_the_station_closed():
    """Once the station is off air there is nothing to ask."""
    trial = desk(opened(), StationClosed(at(5)))
    trial.press("ctrl+q")
    assert trial.left == 1


def test_light():
    """The light is switched by one key."""
    trial = desk()
    trial.press("ctrl+t")
    assert trial.lights == 1


# --- holding, and taking back -------------------------------------------------------------------


def test_a_key_that_bounces_or_is_held_holds_once():
    """The key is its own opposite: it lets go again only after a while, and says so."""
    trial = desk()
    gaps_s = (0.02, 0.5, *[0.03] * 40)
    assert [event for gap_s in gaps_s for event in trial.strike("ctrl+o", gap_s)] == [Hold()]
    assert trial.hand.remark.startswith("Ctrl+O was pressed just now")
    trial.board.apply(Held(at(11)))
    trial.clock.wait(1)
    assert trial.press("ctrl+o") == [Resume()]


def change(trial: Desk, key: str, value: int) -> list[InEvent]:
    """Press a key, let the station answer that the crates are so many, and look at the screen."""
    sent = trial.press(key)
    trial.board.apply(FactChanged(at(10), "crates_open", value, "operator"))
    trial.hand.acts.undo.offered(trial.view)
    trial.clock.wait(3)
    trial.hand.settle(trial.view)
    return sent


def test_each_act_is_taken_back_by_itself_the_last_one_first():
    """Two counts of a fact are two acts, however often the screen looks in between."""
    trial = desk()
    trial.press(*TO_FACTS)
    change(trial, "+", 1)
    change(trial, "+", 2)
    assert trial.press("ctrl+z") == [SetFact("crates_open", 1)]
    trial.hand.acts.undo.offered(trial.view)  # which is before the station answers
    trial.board.apply(FactChanged(at(11), "crates_open", 1, "operator"))
    trial.clock.wait(3)
    assert change(trial, "ctrl+z", 0) == [SetFact("crates_open", 0)]
    assert trial.press("ctrl+z") == []
    assert trial.hand.remark.startswith("There is nothing to take back")


def test_what_was_set_back_by_hand_is_not_done_again():
    """A slip that was corrected is no act: nothing comes of it later."""
    trial = desk()
    trial.press(*TO_FACTS)
    change(trial, "+", 1)
    change(trial, "+", 2)
    change(trial, "-", 1)
    assert trial.press("ctrl+z") == [SetFact("crates_open", 0)]


def test_taking_back_never_holds_nor_lets_go():
    """Ctrl+O does that; it is said, and only then comes what was done before it."""
    trial = desk()
    trial.press(*TO_FACTS)
    change(trial, "+", 1)
    trial.press("ctrl+o")
    trial.board.apply(Held(at(11)))
    trial.clock.wait(2)
    trial.press("ctrl+o")
    trial.board.apply(Resumed(at(12)))
    trial.clock.wait(2)
    assert trial.press("ctrl+z") == []
    assert trial.hand.remark == "The session went on: Ctrl+O holds it again."
    assert trial.press("ctrl+z") == [SetFact("crates_open", 0)]


def test_what_is_past_is_said_before_an_earlier_act_is_taken_back():
    """A jump that was made is not skipped in silence."""
    trial = desk()
    trial.press(*TO_FACTS)
    change(trial, "+", 1)
    trial.press("escape", "end", "enter")
    trial.clock.wait(2)
    assert trial.press("ctrl+z") == []
    assert trial.hand.remark.startswith("The jump does not wait any more")
    assert trial.press("ctrl+z") == [SetFact("crates_open", 0)]


def test_what_is_wanted_while_the_session_is_held_is_said_to_wait():
    """A hint or a jump goes out when the session goes on, not after the item on air."""
    trial = desk(*on_air(), Held(at(10)))
    assert trial.press("ctrl+g") == [GiveHint()]
    assert trial.hand.remark.startswith("Hint 1 of 3 waits until the session goes on: ")
    assert trial.press("end", "ctrl+n") == [Jump("home", JumpTiming.NOW)]
    assert trial.hand.remark == "Jump to home, now. It waits until the session goes on."


def said_before(*texts: str) -> Desk:
    """A desk with a line to write on; the last of the texts was said last."""
    told = [AnnouncementsWaiting(at(10), (text,)) for text in texts]
    trial = desk(*on_air(), *told, AnnouncementsWaiting(at(10), ()))
    trial.press("ctrl+a")
    return trial


@pytest.mark.parametrize(
    ("keys", "line"),
    [
        (("up",), "Two."),
        (("down",), "Two."),
        (("down", "down"), "One."),
        (("down", "down", "up"), "Two."),
        (("down", "up"), ""),
        (("M", "down", "up"), "M"),
        (("M", "up"), "M"),
    ],
)
def test_what_was_said_before_comes_back(keys, line):
    """The latest by ↑ or ↓ from an empty line; ↑ past it leads back to what was written."""
    trial = said_before("One.", "Two.")
    trial.press(*keys)
    assert trial.hand.announce.draft.text == line


def test_an_announcement_that_was_taken_back_need_not_be_written_again():
    """It is among those that were said before, whether it was cut or not begun."""
    cut = started(10, 20, "Two.", part=Part.ANNOUNCEMENT)
    trial = said_before("One.")
    trial.board.apply(aired(cut, cut_s=12))
    assert [one.text for one in trial.view.spoken] == ["Two.", "One."]


def test_a_hint_that_was_heard_is_not_taken_back():
    """One sentence says so, and nothing is sent."""
    trial = desk()
    trial.press("ctrl+g")
    trial.clock.wait(2)
    assert trial.press("ctrl+z") == []
    assert trial.hand.remark == "The hint does not wait any more: what was heard stays heard."


# --- the plain voice ----------------------------------------------------------------------------


@pytest.mark.parametrize("gap_s", [0.08, 0.1, 0.15, 0.25, 0.5, 2])
def test_the_plain_voice_speaks_when_its_key_is_struck_twice(gap_s):
    """However fast a hand in a hurry is."""
    trial = desk()
    assert trial.strike("ctrl+p", gap_s) == []
    assert trial.strike("ctrl+p", 0) == [PlainVoice("")]


@pytest.mark.parametrize("delay_s", [0.2, 0.5, 1])
def test_the_plain_voice_speaks_when_its_key_is_held(delay_s):
    """Once, with the first of its repeats; the others, thirty a second, do nothing."""
    trial = desk()
    gaps_s = (delay_s, *[0.03] * 40)
    assert [event for gap_s in gaps_s for event in trial.strike("ctrl+p", gap_s)] == [
        PlainVoice("")
    ]


@pytest.mark.parametrize("gaps_s", [(0,), (0.005,), (0.05,), (0.03, 0.03, 0.03), (0, 0.01, 0.05)])
def test_a_key_that_bounces_does_not_speak(gaps_s):
    """It is said, and the next stroke does."""
    trial = desk()
    assert [event for gap_s in gaps_s for event in trial.strike("ctrl+p", gap_s)] == []
    assert trial.strike("ctrl+p", 0.1) == []
    assert trial.hand.question is not None
    assert trial.hand.question.remark == "Too quick: once more."
    assert trial.strike("ctrl+p", 0) == [PlainVoice("")]


def test_how_late_the_screen_hears_of_a_stroke_does_not_count():
    """What bounced while the screen was drawn did not come later for that."""
    trial = desk()
    trial.strike("ctrl+p", 0.1)
    assert trial.strike("ctrl+p", 0, late_s=0.08) == []


def test_enter_answers_the_plain_voice_at_once():
    """It is another key, so it cannot be a bounce."""
    trial = desk()
    trial.strike("ctrl+p", 0.02)
    assert trial.strike("enter", 0) == [PlainVoice("")]


@pytest.mark.parametrize(
    ("keys", "left"),
    [
        (("ctrl+p",), "the plain voice is NOT on air"),
        (("end", "ctrl+n"), "no jump is made"),
        (("home", "enter"), "no jump is made"),
        (("ctrl+a", "x", "ctrl+n"), "nothing is announced"),
        (("ctrl+e",), "the session is not ended"),
        (("ctrl+x",), "nothing is reset"),
        (("ctrl+q",), "the station is not taken off air"),
    ],
)
def test_a_question_that_is_not_answered_says_what_is_left(keys, left):
    """Whatever was asked."""
    trial = desk(clue="the gate")
    assert trial.press(*keys) == []
    assert trial.hand.question is not None
    trial.clock.wait(10)
    trial.hand.settle(trial.view)
    assert trial.hand.question is None
    assert trial.hand.remark == f"Not answered: {left}."


LEAVE = PlainVoiceStarted(at(10), "Please leave the room.", "operator")


def test_stray_letters_never_become_the_plain_voices_text():
    """The prepared text is chosen whatever is typed on its sheet, and the question says so."""
    trial = desk()
    trial.press("ctrl+p", "escape", "x", "y")
    assert trial.hand.remark.startswith("The prepared text is chosen.")
    trial.press("ctrl+p")
    assert trial.hand.question is not None
    assert trial.hand.question.sentence.endswith("Prepared text.")
    trial.clock.wait(0.3)
    assert trial.press("ctrl+p") == [PlainVoice("")]


@pytest.mark.parametrize("leaving", [("escape",), ("tab",), ("enter", "escape")])
def test_own_words_for_the_plain_voice_are_forgotten(leaving):
    """When the sheet is left, and when the question is answered No."""
    trial = desk()
    trial.press("ctrl+p", "escape", "down", "o", "k", *leaving)
    assert (trial.hand.plain.draft.text, trial.hand.plain.chosen) == ("", 0)


def test_own_words_are_confirmed_by_enter_and_shown():
    """The key that works from anywhere always means the prepared text."""
    trial = desk()
    trial.press("ctrl+p", "escape", "down", "o", "k", "enter")
    assert trial.hand.question is not None
    assert trial.hand.question.sentence.endswith("It says: ok")
    trial.clock.wait(0.5)
    assert trial.press("ctrl+p") == []
    assert trial.hand.question.sentence.endswith("Prepared text.")


def test_stopping_once_too_often_does_not_start():
    """Right after a stop Enter is no answer; a moment later, or by the key twice, it starts."""
    trial = desk(*on_air(), LEAVE)
    assert trial.press("ctrl+p", "enter") == [StopPlainVoice()]
    trial.board.apply(PlainVoiceStopped(at(11), "operator"))
    assert trial.press("ctrl+p", "enter", "enter") == []
    assert trial.hand.question is not None
    assert trial.hand.question.sentence.startswith("PLAIN VOICE again")
    assert trial.hand.question.remark == "Just stopped: Enter answers in 5 s."
    trial.clock.wait(6)
    assert trial.press("enter") == [PlainVoice("")]


def test_starting_once_too_often_does_not_stop():
    """Nor does the start pair ever stop; and what does nothing says why."""
    trial = desk()
    trial.press("ctrl+p")
    trial.clock.wait(0.4)
    assert trial.press("ctrl+p") == [PlainVoice("")]
    trial.board.apply(LEAVE)
    assert trial.press("ctrl+p", "enter") == []
    assert "has just gone on air" in trial.hand.remark
    trial.clock.wait(2)
    trial.press("ctrl+p")
    trial.clock.wait(0.5)
    assert trial.press("ctrl+p") == []


def test_the_sheet_is_left_when_the_plain_voice_stops():
    """Whoever stopped it; Enter is then no start again."""
    trial = desk(*on_air(), LEAVE)
    trial.press("ctrl+p", "escape", "ctrl+p")
    assert trial.hand.works is Works.PLAIN
    trial.board.apply(PlainVoiceStopped(at(11), "operator"))
    trial.hand.settle(trial.view)
    assert trial.hand.works is Works.SEGMENTS


# --- facts --------------------------------------------------------------------------------------


def test_tab_goes_round_the_sheets():
    """Tab leads from sheet to sheet and back to the first, Shift+Tab the other way, Esc home."""
    trial = desk()
    seen = []
    for _ in Works:
        seen.append(trial.hand.works)
        trial.press("tab")
    assert seen == list(Works)
    assert trial.hand.works is Works.SEGMENTS
    trial.press("shift+tab")
    assert trial.hand.works is Works.PLAIN
    trial.press("escape")
    assert trial.hand.works is Works.SEGMENTS


@pytest.mark.parametrize(
    ("key", "value"), [("+", True), ("=", True), ("-", False), ("_", False), (" ", True)]
)
def test_yes_and_no(key, value):
    """Plus is yes, minus is no, the space bar turns a fact over; shifted or not."""
    assert desk().press(*TO_FACTS, "down", key) == [SetFact("lamp_lit", value, "operator")]


def test_space_is_the_opposite_of_what_the_board_shows():
    """Whoever set the fact, and however often the key is pressed before the station answers."""
    trial = desk(*on_air(), FactChanged(at(9), "lamp_lit", True, "room"))
    assert trial.press(*TO_FACTS, "down", " ", " ") == [SetFact("lamp_lit", False)] * 2
    trial.board.apply(FactChanged(at(10), "lamp_lit", False, "operator"))
    assert trial.press(" ") == [SetFact("lamp_lit", True)]


@pytest.mark.parametrize(("key", "value"), [("+", 1), ("-", -1)])
def test_numbers(key, value):
    """Plus and minus count a number up and down."""
    assert desk().press(*TO_FACTS, key) == [SetFact("crates_open", value, "operator")]


def test_counting_faster_than_the_station_answers():
    """Three quick presses count three, though the screen still shows the old number."""
    assert [event.value for event in desk().press(*TO_FACTS, "+", "+", "+")] == [1, 2, 3]


def test_counting_on_from_what_the_room_said():
    """After a while the count goes on from what the station told, not from what was asked."""
    trial = desk()
    trial.press(*TO_FACTS, "+")
    trial.clock.wait(2)
    trial.board.apply(FactChanged(at(12), "crates_open", 3, "room"))
    assert trial.press("+") == [SetFact("crates_open", 4, "operator")]


def test_a_number_is_not_turned_over():
    """The space bar on a number says what to press instead."""
    trial = desk()
    assert trial.press(*TO_FACTS, " ") == []
    assert trial.hand.remark == "crates_open is a number: + and - change it."


@pytest.mark.parametrize(
    ("keys", "values"), [("++", ["open", "closed"]), ("-_", ["closed", "open"]), (" ", ["open"])]
)
def test_names(keys, values):
    """Plus, minus and the space bar go round the names that a fact can hold."""
    trial = desk()
    door = Fact(at_first="ajar", one_of=("closed", "ajar", "open"))
    trial.board = Board(programme().model_copy(update={"facts": {"door": door}}), trial.clock)
    trial.board.apply(opened())
    trial.board.apply(FactChanged(0, "door", "ajar", "room"))
    assert [event.value for event in trial.press(*TO_FACTS, *keys)] == values


@pytest.mark.parametrize("key", ["enter", "ctrl+n", "ctrl+r"])
def test_no_jump_while_the_keys_work_on_the_facts(key):
    """In the facts a jump key sends nothing, and says where the keys are."""
    trial = desk()
    assert trial.press(*TO_FACTS, key) == []
    assert trial.hand.remark == "The keys work on the facts. Esc goes back to the segments."


# --- hearing it first ---------------------------------------------------------------------------


class Headphones:
    """A monitor that keeps what it was to play, and then tells what was wrong with it."""

    output = "Headphones"

    def __init__(self) -> None:
        self.played: list[str] = []
        self.wrong = ""

    def play(self, text: str) -> None:
        self.played.append(text)

    def trouble(self) -> str:
        told, self.wrong = self.wrong, ""
        return told


def test_an_announcement_is_heard_first():
    """In the headphones, and sent to nobody; what goes wrong there is said."""
    trial = desk()
    trial.hand.acts.monitor = headphones = Headphones()
    trial.press("ctrl+a", "M", "i", "n", "d")
    assert trial.press("ctrl+l") == []
    assert headphones.played == ["Mind"]
    assert trial.hand.remark == "You hear it on Headphones, and nobody else does."
    headphones.wrong = "The headphones are gone."
    trial.hand.settle(trial.view)
    assert trial.hand.remark == "The headphones are gone."


def test_without_headphones():
    """It says how to have some."""
    trial = desk()
    trial.press("ctrl+a", "M", "ctrl+l")
    assert trial.hand.remark == "There are no headphones: give `--monitor OUT` when you go on air."


# --- the help -----------------------------------------------------------------------------------


def works_on_a_sheet(key: str, sheet: Works) -> bool:
    """Whether a key does anything at all on a sheet: it sends, asks, turns or switches."""
    trial = desk()
    trial.hand.turn_to(sheet)
    trial.hand.announce.draft.put("Mind the stair.")
    sent = trial.press(key)
    hand = trial.hand
    idle = "Nothing is chosen here"
    said = bool(hand.remark) and not hand.remark.startswith(idle)
    turned = hand.works is not sheet or hand.help_row is not None
    return bool(sent or said or turned or trial.lights or trial.left or hand.question)


def test_the_help_names_the_keys_that_there_are():
    """Each Ctrl key that does something is on the help page, and no other."""
    told = {f"{key} {words}" for key, words in PAGE}
    named = {found for words in told for found in re.findall(r"Ctrl\+[A-Z]", words)}
    working = {
        f"Ctrl+{letter.upper()}"
        for letter in ascii_lowercase
        if any(
            works_on_a_sheet(f"ctrl+{letter}", sheet) for sheet in (Works.ANNOUNCE, Works.SEGMENTS)
        )
    }
    assert named == working - {"Ctrl+C"}  # which is Ctrl+Q to whoever knows terminals


@pytest.mark.parametrize("sheet", list(Works))
def test_keys_that_work_everywhere(sheet):
    """What is heard on air, held, asked or taken back is the same key on every sheet."""
    for key in ("ctrl+s", "ctrl+o", "ctrl+e", "ctrl+x", "ctrl+g", "ctrl+z", "ctrl+q", "ctrl+t"):
        assert works_on_a_sheet(key, sheet), key


def test_nothing_irreversible_on_a_single_key():
    """Ending, resetting, going off air and the plain voice ask, on every sheet."""
    for sheet in Works:
        for key in ("ctrl+e", "ctrl+x", "ctrl+q", "ctrl+p"):
            trial = desk()
            trial.hand.turn_to(sheet)
            assert trial.press(key) == []
            assert trial.left == 0
            assert trial.hand.question is not None
