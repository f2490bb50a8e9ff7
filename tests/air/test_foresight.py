"""What playout tells of what comes: once, and again only when it changes."""

from broadcaster.air.lengths import Lengths
from broadcaster.air.playout import Playout
from broadcaster.air.timing import Timing
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import Clip, Groups, IntervalSignal, Item, Morse, Programme, Tone
from broadcaster.story.cue import Carrier, Cue
from broadcaster.story.events import (
    GiveHint,
    HintReady,
    Hold,
    InEvent,
    ItemStarted,
    OutEvent,
    Resume,
    RoundEnds,
    StartSession,
)
from broadcaster.units import RATE
from tests.air.make import CountedItems
from tests.story import make as story


def told(programme: Programme, *agenda: tuple[float, InEvent], seconds: float) -> list[OutEvent]:
    playout = Playout(programme, CountedItems({"one": 1.0, "two": 2.5}))
    for at_s, event in agenda:
        playout.receive(event, round(at_s * RATE))
    for _ in playout.run(round(seconds * RATE)):
        pass
    return playout.take_events()


def ends(events: list[OutEvent]) -> dict[float, tuple[float | None, bool]]:
    """For each second at which it was told, the last that was told then."""
    return {
        one.frame / RATE: (None if one.end_frame is None else one.end_frame / RATE, one.exact)
        for one in events
        if isinstance(one, RoundEnds)
    }


SCRIPT = story.programme(
    {"watch": story.segment(story.say("one"), story.say("two"), hints=(story.say("hint"),))}
)


def test_a_rounds_end_is_guessed_until_its_items_have_gone_out() -> None:
    """From the second round on it is exact; told only where it changes."""
    found = ends(told(SCRIPT, (0, StartSession()), seconds=8))
    assert found == {
        0.0: (5.0, False),  # `one`, and four seconds for what is not known
        1.0: (3.5, True),
        3.5: (7.0, True),
        7.0: (10.5, True),
    }


def test_no_rounds_end_is_told_while_the_session_is_held() -> None:
    """And a new one when it goes on: from where the item after the held one begins."""
    found = ends(told(SCRIPT, (0, StartSession()), (0.5, Hold()), (9, Resume()), seconds=10))
    assert found == {0.0: (5.0, False), 0.5: (None, True), 9.0: (11.5, True)}


def test_the_hint_that_is_ready_is_told_when_it_changes() -> None:
    """At first, when a session begins, when it is asked for, and never in between."""
    events = told(SCRIPT, (1, StartSession()), (4, GiveHint()), seconds=8)
    hints = [event for event in events if isinstance(event, HintReady)]
    assert hints == [
        HintReady(0, "", 0, 0, ""),
        HintReady(1 * RATE, "watch", 1, 1, "hint"),
        HintReady(4 * RATE, "watch", 0, 1, ""),
    ]


def test_what_changes_twice_on_a_frame_is_told_as_it_is_in_the_end() -> None:
    """Of a session that begins with the station, nothing is told of stand by before it."""
    events = told(SCRIPT, (0, StartSession()), seconds=1)
    hints = [event for event in events if isinstance(event, HintReady)]
    assert hints == [HintReady(0, "watch", 1, 1, "hint")]


def test_an_item_tells_when_its_words_begin() -> None:
    """As whoever made it knows; the carrier has no words."""
    playout = Playout(SCRIPT, CountedItems(), timing_of=lambda cue: Timing(words=((7, cue.text),)))
    playout.receive(StartSession(), 100)
    for _ in playout.run(RATE):
        pass
    begun = [event for event in playout.take_events() if isinstance(event, ItemStarted)]
    assert [event.words for event in begun] == [((7, "one"),)]


# --- lengths ------------------------------------------------------------------------------------


def guessed(item: Item, text: str) -> float:
    voice = VoiceProfile(about="a test's voice", rate=120, pause="1 s", figure_gap="550 ms")
    lengths = Lengths(SCRIPT.model_copy(update={"cast": {"keeper": voice}}))
    seconds = lengths.of(Cue("watch", item, text)) / RATE
    assert lengths.guessed
    return round(seconds, 2)


def test_a_length_is_guessed_from_what_is_written() -> None:
    """Six letters a word, one note a beat, so much a figure, and what the item says itself."""
    assert guessed(story.say("x"), "keeper " * 20) == 12.67
    assert guessed(Groups(groups="41972"), "41972") == 6.0
    assert guessed(Morse(morse="x", speed="10 wpm"), "PARIS " * 10) == 60.0
    assert guessed(IntervalSignal(interval_signal="G4 C5", tempo="120"), "G4 C5") == 1.0
    assert guessed(Tone(**{"tone": "440 Hz", "for": "3 s"}), "440 Hz") == 3.0
    assert guessed(story.pause("7 s"), "pause") == 7.0
    assert guessed(story.pips(6), "6 pips") == 6.0
    assert guessed(Clip(**{"clip": "a.wav", "from": "1 s", "to": "5 s"}), "a.wav") == 4.0


def test_what_has_gone_out_is_known() -> None:
    """And the carrier's length always is."""
    lengths = Lengths(SCRIPT)
    cue = Cue("watch", story.say("one"), "one")
    lengths.learn(cue, 12_345)
    assert lengths.of(cue) == 12_345
    assert lengths.of(Cue("watch", Carrier(carrier=2.0), "carrier")) == 2 * RATE
    assert not lengths.guessed
