"""The console on a terminal: what stands on it, and what its keys send."""

import signal

import pytest
from textual import events

from broadcaster.console import app
from broadcaster.console.app import Console, run_console
from broadcaster.console.hands.sheets import Works
from broadcaster.console.palette import DAY, NIGHT
from broadcaster.console.panels.log import Log
from broadcaster.errors import StationError
from broadcaster.script.conditions import parse_condition
from broadcaster.script.programme import Exit
from broadcaster.story.events import (
    Announce,
    EndSession,
    FactChanged,
    GiveHint,
    HintReady,
    Hold,
    Jump,
    JumpTiming,
    JumpWaiting,
    MilestoneOverdue,
    Refused,
    SessionEnded,
    SessionStarted,
    SetFact,
    Stalled,
    StationClosed,
    StationOpened,
    Trouble,
)
from tests.console.scene import (
    at,
    clock,
    lively,
    on_air,
    opened,
    output,
    programme,
    session_ended,
    started,
)
from tests.console.screen import on_console

SIZES = [(80, 24), (120, 40), (200, 60)]


# --- what stands on the screen -------------------------------------------------------------------


@pytest.mark.parametrize("size", SIZES)
def test_all_that_matters_is_on_the_screen(size):
    """At each size: station, clock, item, clue, time left, next, segments, facts, output, log."""

    async def look(trial):
        shown = "\n".join(trial.screen())
        for words in (
            "91.3 MHz",
            "Low Water",
            "● ON AIR",
            "48:01 left",
            "watch, round 4",
            "groups 2 of 2",
            "◆ CLUE the first crate",
            "item 0:04 left",
            "2714",
            "next  interval signal A4 D5 E5 C5 D5 G4 rest rest",
            "→ the word",
            "then  Heron calling the light. I count 1 of four windows.",
            "1 ● watch",
            "by the opening",
            "3 » the word",
            "in 0:04, after item",
            "crates_open  1     20:14 room",
            "□ no",
            "OUTPUT  silent, playing",
            "-8 dB peak",
            "buffer 0.20 s  underruns 0",
            "20:14:29 · Jump to the word, after this item.",
            "Ctrl+Z take back the jump",
            "Ctrl+P plain voice",
            "F1 help",
            "! first crate  overdue by 0:59",
            "Enter Ctrl+R Ctrl+N jump to watch",
        ):
            assert words in shown, words

    on_console(look, *lively(), size=size)


@pytest.mark.parametrize("size", [(40, 12), (20, 6)])
def test_a_terminal_that_is_too_small_is_filled(size):
    """What does not fit is cut, and nothing breaks."""

    async def look(trial):
        assert sum(p.size.width * p.size.height for p in trial.console.panels) >= size[0] * size[1]
        assert "stumbled" not in trial.text()

    on_console(look, *lively(), size=size)


def test_the_sheet_of_the_log_shows_whole_lines():
    """A sentence that is wider than the sheet goes on in the next row."""

    async def look(trial):
        sentence = "The output was lost for a while, and came back by itself after the fourth try."
        trial.console.board.note(sentence)
        await trial.press("shift+tab", "shift+tab")
        rows = [" ".join(row.split()) for row in trial.text("logsheet").splitlines()]
        assert sentence in " ".join(rows)
        assert not any(sentence in row for row in rows)
        assert any("▸all aired story faults or type words" in row for row in rows)

    on_console(look, *on_air(), size=(110, 34))


@pytest.mark.parametrize("size", SIZES)
def test_keys_are_whole_where_they_act(size):
    """No key hint is cut off at any size."""

    async def look(trial):
        assert "Enter after item  Ctrl+R round  Ctrl+N now" in trial.text("segments")
        assert "Ctrl+A announce  Ctrl+P plain voice  F1 help" in trial.text("message")
        await trial.press("tab", "tab", "tab")
        assert "+ - more, less  Esc back" in trial.text("facts")
        assert "Esc back to the segments" in trial.text("segments")
        await trial.press("down")
        assert "Space turn  + - yes, no  Esc back" in trial.text("facts")
        await trial.press("ctrl+n", "escape", "home", "ctrl+n")
        assert "Enter yes  Ctrl+R round  Esc no" in trial.text("message")

    on_console(look, *on_air("a very long clue that tells how the first crate opens"), size=size)


@pytest.mark.parametrize("size", [(60, 15), (60, 8), (30, 8), (120, 15), (80, 19)])
@pytest.mark.parametrize("late", [(), (MilestoneOverdue(at(10), "lamp"), Stalled(at(10), "lamp"))])
def test_what_is_written_stands_on_the_lowest_screen(size, late):
    """Whatever else has to give way to it, a sign or not."""

    async def work(trial):
        await trial.press(*["ctrl+a", "M", "i", "n", "d"])
        assert "  Mind " in trial.text("announce")
        await trial.press("escape", *"ga")
        assert "find ga_" in trial.text("segments") or "the gate" in trial.text("segments")
        await trial.press("ctrl+p", "escape", "down", *"Out.")
        assert "  Out. " in trial.text("plain")
        assert {len(row) for row in trial.screen()} == {size[0]}

    on_console(work, *on_air(), *late, size=size)


def test_a_window_too_low_for_a_sheet_says_so():
    """Nobody types unseen without knowing it."""

    async def work(trial):
        await trial.press("ctrl+a")
        assert "The window is too low for ANNOUNCE: 8 rows do." in trial.text("message")

    on_console(work, *on_air(), size=(60, 5))


def test_a_stroke_is_dated_by_when_it_was_struck():
    """A key that bounced while the screen was drawn does not call the plain voice."""

    async def work(trial):
        trial.console.on_key(events.Key("ctrl+p", None))
        trial.clock.wait(0.1)
        late = events.Key("ctrl+p", None)
        late.time -= 0.1
        trial.console.on_key(late)
        assert trial.station.sent == []
        assert "Too quick: once more." in trial.text("message")

    on_console(work, *on_air())


def test_no_hint_is_offered_where_none_is_left():
    """Its key leaves the line of keys, and the sheet of the session."""

    async def work(trial):
        assert "Ctrl+G" in trial.text("message")
        await trial.tell(HintReady(at(10), "watch", 0, 3, ""))
        assert "Ctrl+G" not in trial.text("message")
        await trial.press("tab")
        assert "Ctrl+G" not in trial.text("session")

    on_console(work, *on_air())


def test_what_a_stalled_team_is_offered():
    """Ways that only open because the time is up are none."""
    script = programme()
    watch = script.segments["watch"]
    way = Exit(to="home", when=parse_condition("time left < 2 min"), at_once=True)
    watch = watch.model_copy(update={"exits": (*watch.exits, way)})
    script = script.model_copy(update={"segments": {**script.segments, "watch": watch}})

    async def work(trial):
        assert "jump: 2 watch again or 4 the lamp" in trial.text("sign")
        assert "home" not in trial.text("sign")
        await trial.press("tab")
        assert "Exit to 9 home when time left < 2 min" in trial.text("session")

    late = (MilestoneOverdue(at(10), "lamp"), Stalled(at(10), "lamp"))
    on_console(work, *on_air(), *late, size=(120, 40), programme=script)


def test_what_comes_while_the_station_stands_by():
    """The segment with which a session begins is named."""

    async def work(trial):
        told = "nothing: the carrier stays until a session begins, with watch"
        assert told in trial.text("coming")

    on_console(work, opened(), output(0))


def test_which_keys_speak_plainly():
    """The prepared text by its key, words of one's own by Enter."""

    async def work(trial):
        await trial.press("ctrl+p", "escape")
        assert "Ctrl+P twice, or held: speak" in trial.text("plain")
        await trial.press("down")
        assert "Enter twice: speak in these words" in trial.text("plain")

    on_console(work, *on_air())


def test_the_help_turns_by_pages():
    """The last line of a page is the first of the next, whatever the height."""

    async def work(trial):
        await trial.press("f1")
        last = trial.text("help").splitlines()[-2]
        await trial.press("pagedown")
        assert trial.text("help").splitlines()[0] == last

    on_console(work, *on_air())


@pytest.mark.parametrize("width", [30, 40, 60, 80])
def test_a_question_says_what_it_asks_at_any_width(width):
    """The keys leave room for what would happen; the first of them stays."""

    async def work(trial):
        await trial.press("ctrl+p")
        assert trial.text("message").startswith(" ? PLAIN VOICE")
        assert "Enter yes" in trial.text("message")
        await trial.press("escape", "escape", "home", "ctrl+n")
        assert trial.text("message").startswith(" ? Cut the clue")
        assert "Enter yes" in trial.text("message")

    on_console(work, *on_air("the upper wheel of the gate"), size=(width, 24))


@pytest.mark.parametrize(("size", "rows"), [((80, 24), 3), ((110, 34), 5), ((200, 60), 13)])
def test_what_is_on_air_is_as_large_as_it_can_be(size, rows):
    """A short text is set larger on a larger terminal."""

    async def look(trial):
        lines = trial.text("on_air").splitlines()
        assert len([line for line in lines if set(line) & set("█▀▄")]) == rows

    on_console(look, opened(), started(0, 10, "41972", item="groups"), output(1), size=size)


def test_a_long_text_is_turned_over_page_by_page():
    """The large page follows the voice, and the whole text stays below it."""

    async def look(trial):
        text = "The tide has gone out from under us, and we are lying on the sand a mile from you."
        await trial.tell(opened(), started(0, 20, text), output(0))
        first = trial.text("on_air").splitlines()[1:4]
        await trial.tell(output(19))
        last = trial.text("on_air").splitlines()
        assert first != last[1:4]
        assert "from you." in last[-1]

    on_console(look)


def test_a_writing_without_large_letters_is_spaced():
    """Letters that have no large form are shown spaced out, and nothing breaks."""

    async def look(trial):
        assert "М а я к" in trial.text("on_air")

    on_console(look, opened(), started(0, 10, "Маяк вызывает"), output(1))


def test_an_item_without_words_shows_its_kind():
    """A tone has nothing to read: its kind is large, its pitch below."""

    async def look(trial):
        assert "440 Hz" in trial.text("on_air")
        assert "▀█▀ ▄▀▀▄ █▄ █ █▀▀" in trial.text("on_air")

    on_console(look, opened(), started(0, 10, "440 Hz", item="tone"), output(1))


def test_stand_by_and_off_air_are_said():
    """Without a session the screen says so in words, and what starts one."""

    async def look(trial):
        assert "× OFF AIR" in trial.text("dial")
        await trial.tell(opened(), output(1))
        assert "○ STAND BY" in trial.text("dial")
        assert "planned for 1:00:00" in trial.text("dial")
        assert "no session runs" in trial.text("on_air")
        assert "nothing: the carrier stays" in trial.text("coming")
        assert "Ctrl+S begin a session" in trial.text("message")

    on_console(look)


def test_after_the_session():
    """The clock keeps what the session came to."""

    async def look(trial):
        await trial.tell(*session_ended(11, "the operator"), output(12))
        assert "session 0:11  ended" in trial.text("dial")
        assert "The session is over: the operator." in trial.text("log")

    on_console(look, *on_air())


def test_over_time():
    """A session that runs past its plan says by how much."""

    async def look(trial):
        assert "session 1:02:00  2:00 over time" in trial.text("dial")

    on_console(look, *on_air(), output(3720))


def test_the_needle_moves_with_the_item():
    """A third of the item is heard: the needle stands at a third of the scale."""

    async def look(trial):
        marks = trial.text("dial").splitlines()[1]
        assert marks.index("▐" if "▐" in marks else "▌") == 2 + 76 // 3

    on_console(look, *on_air())


def test_trouble_and_refusal_are_said():
    """What failed and what was refused stand in the message line, with their time."""

    async def look(trial):
        await trial.tell(Trouble(at(10), "The clip could not be read."))
        assert "! 20:02:21  The clip could not be read." in trial.text("message")
        await trial.tell(Refused(at(10), "There is no segment 'x'."))
        assert "There is no segment 'x'." in trial.text("message")

    on_console(look, *on_air())


def test_output_in_need():
    """A stopped output, underruns and a lost output are said in words."""

    async def look(trial):
        await trial.tell(output(11, playing=False, underruns=3))
        assert "! STOPPED" in trial.text("output")
        assert "underruns 3" in trial.text("output")
        trial.clock.wait(5)
        await trial.tell()
        assert "silent: no word for 5 s" in trial.text("output")

    on_console(look, *on_air())


def test_a_waiting_jump_counts_down():
    """The wait is shown at the segment it leads to, and goes down with the item."""

    async def look(trial):
        await trial.tell(JumpWaiting(at(10), "home", JumpTiming.AFTER_ITEM))
        await trial.press("end")
        assert "9 » home" in trial.text("segments")
        assert "in 0:20, after item" in trial.text("segments")
        await trial.tell(output(25))
        assert "in 0:05, after item" in trial.text("segments")

    on_console(look, *on_air())


def test_chosen_and_on_air_have_signs_and_not_only_colours():
    """The chosen line, the segment on air and the waiting jump each have a sign of their own."""

    async def look(trial):
        await trial.press("down", "down")
        lines = trial.text("segments").splitlines()
        assert lines[1].startswith("  1 ● watch")
        assert lines[3].startswith("▸ 3 » the word")

    on_console(look, *lively())


def test_a_list_longer_than_the_panel_follows_the_choice():
    """The chosen segment is always on the screen, with how many there are."""

    async def look(trial):
        assert "1 to 6 of 9" in trial.text("segments")
        await trial.press("end")
        assert "▸ 9   home" in trial.text("segments")
        assert "4 to 9 of 9" in trial.text("segments")

    on_console(look, *on_air())


def test_typing_is_shown():
    """What is typed to find a segment stands beside the title."""

    async def look(trial):
        await trial.press("t", "h", "e", "space", "k")
        assert "find the k_" in trial.text("segments")
        assert "▸ 7   the key" in trial.text("segments")

    on_console(look, *on_air())


def test_hints_show_only_what_works_now():
    """Standing by, no jump key is shown; on air the keys name their target, and so does a jump."""

    async def look(trial):
        assert "Enter" not in trial.text("segments")
        await trial.tell(*on_air())
        await trial.press("down")
        assert "jump to watch again" in trial.text("segments")
        await trial.press("up")
        assert "jump to watch  " in trial.text("segments")
        await trial.press("down")
        await trial.tell(JumpWaiting(at(10), "the gate", JumpTiming.AFTER_ROUND))
        assert "Ctrl+Z take back the jump" in trial.text("message")
        assert "Enter Ctrl+R Ctrl+N jump to watch again" in trial.text("segments")
        await trial.press("z")
        assert "Enter" not in trial.text("segments")
        assert "Esc forget 'z'" in trial.text("segments")

    on_console(look, opened())


def test_what_a_chosen_segment_is_about_can_be_read_whole():
    """The message line turns it over page by page, and then shows the keys again."""

    async def look(trial):
        await trial.press("down")
        assert "▸ watch again: They stall at the first crate. Their" in trial.text("message")
        trial.clock.wait(5)
        await trial.tell()
        assert "then again until the lamp is lit." in trial.text("message")
        trial.clock.wait(5)
        await trial.tell()
        assert "Ctrl+O hold" in trial.text("message")

    script = programme()
    about = (
        "They stall at the first crate. Their figures come again, "
        "and then again until the lamp is lit."
    )
    segment = script.segments["watch again"].model_copy(update={"about": about})
    segments = {**script.segments, "watch again": segment}
    on_console(look, *on_air(), programme=script.model_copy(update={"segments": segments}))


def test_facts_of_the_last_session_are_marked():
    """Standing by after a session, the facts are said to be of the last one, until the next."""

    async def look(trial):
        assert "of the last session" not in trial.text("facts")
        await trial.tell(SessionEnded(at(11), "the operator"))
        assert "FACTS  of the last session" in trial.text("facts")
        await trial.tell(SessionStarted(at(12)))
        assert "of the last session" not in trial.text("facts")

    on_console(look, *on_air())


def test_a_refusal_goes_with_the_next_key_or_session():
    """What was refused does not stand there when the next thing was done."""

    async def look(trial):
        await trial.tell(Refused(at(1), "No session is on air."))
        assert "No session is on air." in trial.text("message")
        await trial.press("down")
        assert "No session is on air." not in trial.text("message")
        await trial.tell(Refused(at(1), "No session is on air."), SessionStarted(at(2)))
        assert "No session is on air." not in trial.text("message")

    on_console(look, opened())


def test_a_jump_taken_back_is_said():
    """The message line and the log say that it is taken back, and by then no key offers to."""

    async def look(trial):
        await trial.tell(JumpWaiting(at(10), "home", JumpTiming.AFTER_ITEM))
        await trial.tell(JumpWaiting(at(11), None, None), output(11))
        assert "The jump to home is taken back." in trial.text("message")
        assert "The jump to home is taken back." in trial.text("log")

    on_console(look, *on_air())


def test_a_programme_without_facts():
    """The panel says so, and Tab says so."""

    async def look(trial):
        assert "The script has none." in trial.text("facts")
        await trial.press("tab", "tab", "tab", "plus")
        assert "The script has no facts to set." in trial.text("message")

    script = programme()
    bare = {"facts": {}, "milestones": {}, "segments": {"watch": script.segments["home"]}}
    on_console(look, *on_air(), programme=script.model_copy(update=bare))


def test_day_and_night():
    """The light is switched and switched back; the words stay."""

    async def look(trial):
        words = trial.text()
        await trial.press("ctrl+t")
        assert trial.console.palette is DAY
        assert trial.text() == words
        await trial.press("ctrl+t")
        assert trial.console.palette is NIGHT

    on_console(look, *on_air())


def test_growing():
    """A terminal that is made larger is filled, and the panels stand as they do there."""

    async def look(trial):
        await trial.pilot.resize_terminal(120, 40)
        await trial.tell()
        assert len(trial.text("log").splitlines()) == 6
        assert trial.console.query_one("#segments").region.x > 60

    on_console(look, *lively())


# --- what the keys send --------------------------------------------------------------------------


def test_the_question_stands_on_the_screen():
    """Before a clue is cut the screen asks, and the answer cuts it."""

    async def work(trial):
        assert await trial.press("home", "ctrl+n") == []
        assert "? Cut the clue and jump to watch now? It is" in trial.text("message")
        assert await trial.press("enter") == [Jump("watch", JumpTiming.NOW)]
        assert "Cut the clue" not in trial.text("message")

    on_console(work, *on_air("gate"))


def test_leaving():
    """Leaving asks, says that the station goes off air, and is done by Enter."""

    async def work(trial):
        await trial.press("ctrl+q")
        asked = "? A SESSION RUNS: all silent! Take the station off air?"
        assert asked in trial.text("message")
        assert trial.console.return_code is None
        await trial.press("enter")
        assert trial.console.return_code == 0
        assert trial.station.sent == []

    on_console(work, *on_air())


def test_a_key_shows_at_once():
    """The screen has changed by the time the next key could come, without waiting for a tick."""

    async def work(trial):
        await trial.press("down")
        assert "▸ 2   watch again" in trial.text("segments")

    on_console(work, *on_air())


# --- the mouse -----------------------------------------------------------------------------------


def test_a_click_on_a_key_presses_it():
    """On the key's name, and on what it does; several names in a row are each their own."""

    async def work(trial):
        assert await trial.click("message", "hint 1 of 3") == [GiveHint()]
        trial.clock.wait(7)
        await trial.tell()
        assert await trial.click("message", "Ctrl+O") == [Hold()]
        await trial.press("end")
        assert await trial.click("segments", "Ctrl+R") == [Jump("home", JumpTiming.AFTER_ROUND)]
        await trial.press("ctrl+e")
        assert await trial.click("message", "Enter") == [EndSession()]

    on_console(work, *on_air())


def test_a_click_chooses_and_sends_nothing():
    """A line, a plate, a fact; the wheel goes on from there."""

    async def work(trial):
        assert await trial.click("segments", "the word") == []
        assert "▸ 3   the word" in trial.text("segments")
        await trial.pilot._post_mouse_events([events.MouseScrollDown], "#segments", offset=(2, 2))
        await trial.pilot.pause()
        assert "▸ 4   the lamp" in trial.text("segments")
        assert await trial.click("index", "SIGNAL") == []
        assert trial.console.query_one("#signal").is_on_screen
        await trial.click("index", "SEGMENTS")
        assert await trial.click("facts", "lamp_lit") == []
        assert trial.console.hand.works is Works.FACTS
        assert await trial.click("facts", "turn") == [SetFact("lamp_lit", True)]
        assert await trial.click("log", "Segment watch") == []
        assert trial.console.hand.works is Works.LOG

    on_console(work, *on_air())


def test_pasted_text_is_written_on_one_line():
    """Where something is written; elsewhere it does nothing but say so."""

    async def work(trial):
        trial.console.post_message(events.Paste("Mind\nthe stair."))
        await trial.pilot.pause()
        assert "Nothing is written here" in trial.text("message")
        await trial.press("ctrl+a")
        trial.console.post_message(events.Paste("Mind\nthe stair."))
        await trial.pilot.pause()
        assert await trial.press("enter") == [Announce("Mind the stair.")]

    on_console(work, *on_air())


# --- what must not end it ------------------------------------------------------------------------


@pytest.mark.parametrize("hook", ["stamp", "rows", "drawn", "key_at"])
def test_a_panel_that_fails_is_one_sentence(monkeypatch, hook):
    """A panel that fails is told once, wherever the toolkit calls it; all else goes on."""

    def fail(self, *told):
        raise ZeroDivisionError("by nought")

    async def work(trial):
        monkeypatch.setattr(Log, hook, fail)
        await trial.pilot.click("#log", offset=(3, 0))
        await trial.press("escape")
        for second in range(11, 15):
            await trial.tell(output(second), FactChanged(at(second), "crates_open", second, "room"))
        assert "crates_open  14" in trial.text("facts")
        assert "The console stumbled: ZeroDivisionError: by nought." in trial.text("message")
        assert [line.sentence for line in trial.console.board.view().log].count(
            "The console stumbled: ZeroDivisionError: by nought."
        ) == 1
        assert trial.console.return_code is None
        assert await trial.press("end", "enter") == [Jump("home", JumpTiming.AFTER_ITEM)]

    on_console(work, *on_air())


def test_an_event_that_cannot_be_understood_does_not_hide_the_next():
    """One bad event is told; those after it are still taken in."""

    async def work(trial):
        bad = StationOpened("Low Water", "Heron", 7, "silent", "why", "no time of day")
        await trial.tell(bad, Trouble(at(10), "It failed."))
        assert "It failed." in trial.text("log")

    on_console(work, *on_air())


def test_a_station_that_does_not_listen_ends_nothing():
    """A key whose event cannot be sent is told in a sentence."""

    async def work(trial):
        def refuse(event):
            raise BrokenPipeError("the pipe is gone")

        trial.console.hand.acts.send = refuse
        await trial.press("end", "enter")
        assert "BrokenPipeError" in trial.text("message")
        assert trial.console.return_code is None

    on_console(work, *on_air())


def test_the_console_closes_with_the_station():
    """When the station has said its last word the console leaves of itself."""

    async def work(trial):
        await trial.tell(StationClosed(at(60)))
        assert trial.console.return_code == 0

    on_console(work, *on_air())


def run_screens(monkeypatch, codes):
    """run_console() with screens that end with these codes; how many were opened."""
    opened_screens = []

    def run(self, **options):
        opened_screens.append(self)
        self._return_code = codes[len(opened_screens) - 1]

    monkeypatch.setattr(app.Console, "run", run)
    run_console(programme(), lambda event: None, list, clock())
    return opened_screens


def test_it_leaves_when_it_is_called_away():
    """With the next look at the news, and not in the middle of anything."""

    async def work(trial):
        trial.console.call_away()
        assert trial.console.return_code is None
        await trial.tell()
        assert trial.console.return_code == 0

    on_console(work, *on_air())


def test_a_request_to_end_calls_it_away(monkeypatch):
    """SIGTERM does so while the console runs, and is then again what it was."""
    called = []
    monkeypatch.setattr(Console, "call_away", lambda self, number, frame: called.append(number))
    monkeypatch.setattr(Console, "run", lambda self: signal.raise_signal(signal.SIGTERM))
    monkeypatch.setattr(Console, "return_code", 0)
    before = signal.getsignal(signal.SIGTERM)
    run_console(programme(), lambda event: None, list, clock())
    assert called == [signal.SIGTERM]
    assert signal.getsignal(signal.SIGTERM) is before


def test_a_screen_that_breaks_down_is_opened_again_as_it_was(monkeypatch):
    """The second screen has the board of the first, and says what happened."""
    first, second = run_screens(monkeypatch, [1, 0])
    assert first.board is second.board
    assert second.board.view().log[-1].sentence == "The screen broke down and was opened again."


def test_a_screen_that_keeps_breaking_down_is_given_up(monkeypatch):
    """After three breakdowns the console ends with an error of its own."""
    with pytest.raises(StationError, match="broke down 3 times"):
        run_screens(monkeypatch, [1, 1, 1])


def test_no_station_ends_the_console_with_its_reason(monkeypatch):
    """What `events` raises when there is no station comes out of run_console()."""

    def gone():
        raise StationError("The station keeps dying.")

    def run(self, **options):
        self._take_in()
        self._return_code = 0

    monkeypatch.setattr(Console, "run", run)
    with pytest.raises(StationError, match="keeps dying"):
        run_console(programme(), lambda event: None, gone, clock())
