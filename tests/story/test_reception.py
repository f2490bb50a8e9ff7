"""The signal on its frames, what each item's readability is, and what lies between segments."""

import hypothesis.strategies as st
import pytest
from hypothesis import given

from broadcaster.script.condition_range import strengths
from broadcaster.script.conditions import parse_condition
from broadcaster.script.facts import Fact
from broadcaster.script.programme import Morse
from broadcaster.story.events import (
    Announce,
    EndSession,
    GiveHint,
    Hold,
    Jump,
    JumpTiming,
    JumpWaiting,
    ReadabilityChanged,
    Refused,
    ResetSession,
    Resume,
    SetFact,
    SetReadability,
    SetSignal,
    SignalChanged,
    StartSession,
    TimetableDue,
)
from broadcaster.story.judging import View, strength_of
from broadcaster.units import RATE
from tests.story.make import Run, choose, entry, pause, programme, remember, say, segment

FACTS = {"crates": {"at first": 0, "from": 0, "to": 9}, "lamp": False}


def run(*play: object, **options: object) -> Run:
    script = programme(
        {"watch": segment(*(play or (say("one"),))), "far": segment(say("far"), signal="2")},
        facts=FACTS,
        **options,
    )
    return Run(script).tick()


def signals(told: Run) -> list[tuple[int, float, str]]:
    return [(event.frame, event.strength, event.why) for event in told.heard(SignalChanged)]


# --- the signal ---------------------------------------------------------------------------------


def test_the_signal_follows_a_fact_on_its_frame() -> None:
    """From the first frame on, at stand by too; told only when it becomes another."""
    told = run(signal="crates + 1 + lamp")
    told.after(1).send(SetFact("crates", 2)).send(StartSession())
    told.after(1).send(SetFact("lamp", True)).send(SetFact("crates", 2))
    assert signals(told) == [
        (0, 1.0, "the script"),
        (1 * RATE, 3.0, "the script"),
        (2 * RATE, 4.0, "the script"),
    ]


def test_the_signal_stays_on_its_scale() -> None:
    """0 to 5, whatever the sum: what lies beyond makes no difference."""
    told = run(signal="crates + crates - 3").send(StartSession())
    for crates in (1, 2, 4, 9, 0):
        told.after(1).send(SetFact("crates", crates))
    assert [strength for _, strength, _ in signals(told)] == [0.0, 1.0, 5.0, 0.0]


def test_a_script_without_a_signal_has_the_full_one_and_tells_nothing() -> None:
    """5 from beginning to end."""
    told = run().send(StartSession()).after(1).send(SetFact("crates", 2)).after(1)
    told.border()
    assert signals(told) == []
    assert told.state.strength == 5.0


def test_the_signal_follows_time_on_the_very_frame() -> None:
    """No other event is needed; while the session is held, its clock stands."""
    told = run(signal="5 - (session time > 10 s) - (segment time >= 20 s)").after(100)
    assert told.story.frames_until_change(told.state, told.frame) is None, "stand by"
    told.send(StartSession()).border()
    start = told.frame
    told.after(4).send(Hold()).after(50).send(Resume())
    assert told.wait() == 6 * RATE + 1
    told.wait()
    assert signals(told) == [
        (start + 60 * RATE + 1, 4.0, "the script"),
        (start + 70 * RATE, 3.0, "the script"),
    ]


def test_the_segments_signal_is_before_the_stations() -> None:
    """From the frame on which the segment is entered until it is left."""
    told = run(signal="4").send(StartSession())
    told.border()
    told.after(1).send(Jump("far")).border()
    told.after(1).send(Jump("watch")).border()
    assert signals(told) == [
        (0, 4.0, "the script"),
        (1 * RATE, 2.0, "the script"),
        (2 * RATE, 4.0, "the script"),
    ]


def test_what_the_script_sets_changes_the_signal() -> None:
    """On the frame of the border where it is set."""
    told = run(say("one"), remember(crates=3), say("two"), signal="crates").send(StartSession())
    told.border()
    told.after(1).border()
    assert signals(told)[1:] == [(RATE, 3.0, "the script")]


def test_the_operators_signal_holds_until_it_is_taken_back() -> None:
    """Facts change under it unheard; then the script has its way again."""
    told = run(signal="crates + 1").send(StartSession())
    told.after(1).send(SetSignal(2.5))
    told.after(1).send(SetFact("crates", 3))
    told.after(1).send(SetSignal(None))
    assert signals(told)[1:] == [(RATE, 2.5, "the operator"), (3 * RATE, 4.0, "the script")]


def test_a_reset_takes_back_what_the_operator_set() -> None:
    """The facts go back and the signal with them; a session that only ends keeps it."""
    told = run(signal="crates + 1").send(StartSession()).send(SetFact("crates", 2))
    told.send(SetSignal(2)).send(SetReadability(3)).after(1).send(EndSession())
    told.border()
    assert told.state.strength == 2.0
    told.after(1).send(ResetSession())
    assert signals(told)[-1] == (2 * RATE, 1.0, "the script")
    assert told.heard(ReadabilityChanged) == [
        ReadabilityChanged(0, 3),
        ReadabilityChanged(2 * RATE, None),
    ]


@pytest.mark.parametrize(
    "event",
    [
        SetSignal(5.1),
        SetSignal(-1),
        SetSignal(float("nan")),
        SetReadability(0.5),
        SetReadability(6),
        Jump("far", JumpTiming.NOW, "dissolve"),
    ],
)
def test_what_is_off_its_scale_is_refused(event: SetSignal) -> None:
    """Nothing changes, and a sentence says why."""
    told = run().send(StartSession())
    before = told.state
    told.send(event)
    assert len(told.heard(Refused)) == 1
    assert told.state == before


terms = st.sampled_from(["crates", "lamp", "2", "-3", "(crates > 4)", "(not lamp)", "rounds"])


@given(
    st.lists(terms, min_size=1, max_size=5),
    st.lists(st.sampled_from("+-"), min_size=5, max_size=5),
    st.integers(0, 9),
    st.booleans(),
    st.integers(0, 4),
)
def test_what_a_signal_comes_to_was_foreseen(
    parts: list[str], signs: list[str], crates: int, lamp: bool, rounds: int
) -> None:
    """The script's check knows the least and the most that a sum can be."""
    written = "".join(f" {sign} {part}" for sign, part in zip(signs, parts, strict=False))
    signal = parse_condition(f"0{written}")
    facts = {"crates": Fact(at_first=0, from_=0, to=9), "lamp": Fact(at_first=False)}
    span = strengths(signal.root, facts)
    now = strength_of(signal, View({"crates": crates, "lamp": lamp}, {}, {"rounds": rounds}))
    assert min(max(span.least, 0), 5) <= now <= min(max(span.most, 0), 5)


# --- readability --------------------------------------------------------------------------------


def readabilities(told: Run, count: int) -> list[tuple[str, float | None]]:
    cues = [told.border() for _ in range(count)]
    return [(cue.text, cue.readability) for cue in cues if cue]


def mixed(**station: object) -> Run:
    script = programme(
        {
            "watch": segment(
                say("own", readability=2),
                say("the segment's"),
                pause("1 s"),
                choose(say("a", readability=1.5), say("a", readability=1.5)),
                hints=(say("hint"),),
                readability=3,
            ),
            "far": segment(say("far")),
        },
        timetable=(entry(say("entry"), daily="21:00"),),
        **station,
    )
    return Run(script).send(StartSession())


def test_the_innermost_readability_counts() -> None:
    """The item's, else the segment's for its items and hints, else the station's."""
    told = mixed(readability=4)
    found = dict(readabilities(told, 1))
    told.send(GiveHint()).send(TimetableDue(0)).send(Announce("now"))
    found |= dict(readabilities(told, 6))
    assert found == {
        "now": 4.0,
        "entry": 4.0,
        "hint": 3.0,
        "own": 2.0,
        "the segment's": 3.0,
        "pause": None,
        "a": 1.5,
    }
    told.send(Jump("far"))
    assert readabilities(told, 1) == [("far", 4.0)]


def test_without_a_readability_the_sound_is_left_alone() -> None:
    """None, and the operator's can still be set."""
    told = mixed().send(Jump("far"))
    assert readabilities(told, 1) == [("far", None)]
    told.send(SetReadability(4.5))
    assert readabilities(told, 1) == [("far", 4.5)]


def test_the_operators_readability_is_before_all() -> None:
    """For whatever makes a sound, until it is taken back."""
    told = mixed(readability=4).send(SetReadability(5))
    assert readabilities(told, 4) == [
        ("own", 5.0),
        ("the segment's", 5.0),
        ("pause", None),
        ("a", 5.0),
    ]
    told.send(SetReadability(None))
    assert readabilities(told, 1) == [("own", 2.0)]


def test_tones_are_worked_out_where_they_must_be_copied() -> None:
    """A clue, or what has a readability of its own; all else goes out with what speech has."""
    keys = [
        Morse(morse="A"),
        Morse(morse="B", clue="b"),
        Morse(morse="C", readability=2),
        say("D"),
    ]
    told = Run(programme({"watch": segment(*keys)}, readability=4)).send(StartSession())
    cues = [told.border() for _ in keys]
    found = [(cue.readability, cue.solved_for, cue.follows_speech) for cue in cues if cue]
    assert found == [
        (4.0, None, True),
        (4.0, 4.0, True),
        (2.0, 2.0, False),
        (4.0, 4.0, False),
    ]


def test_an_announcement_is_made_without_working_out_its_sound() -> None:
    """It knows how readable it is to be, but is the same content at any readability."""
    cue = mixed(readability=4).send(Announce("now")).border()
    assert cue
    assert (cue.readability, cue.content.readability) == (4.0, None)


# --- transitions --------------------------------------------------------------------------------


def between(**station: object) -> Run:
    script = programme(
        {
            "watch": segment(
                say("one"),
                exits=(
                    {"to": "far", "when": "lamp", "transition": "fade"},
                    {"to": "far", "when": "crates > 0", "at once": "yes", "transition": "cut"},
                    {"to": "end", "when": "crates < 0"},
                ),
            ),
            "far": segment(say("far")),
        },
        facts={"crates": 0, "lamp": False},
        **station,
    )
    return Run(script).send(StartSession())


def turns(told: Run, count: int) -> list[str | None]:
    """What was chosen to lie before each of the next cues."""
    found = []
    for _ in range(count):
        turn = told.story.advance(told.state, told.frame)
        told.state = turn.state
        found.append(turn.transition)
    return found


def begun(**station: object) -> Run:
    told = between(**station)
    told.border()
    return told


def test_the_jumps_transition_is_before_the_exits_and_the_stations() -> None:
    """Each leaves it to the next, and within a segment there is none. What waits tells its own."""
    assert turns(between(transition="fade"), 2) == [None, None], "the opening leaves nothing"
    station = begun(transition="retune sweep").send(Jump("far", JumpTiming.NOW))
    assert turns(station, 3) == ["retune sweep", None, None]
    jump = begun(transition="retune sweep").send(Jump("far", JumpTiming.NOW, "carrier drop"))
    assert jump.heard(JumpWaiting)[0].transition == "carrier drop"
    assert turns(jump, 1) == ["carrier drop"]
    lit = begun(transition="carrier drop").send(SetFact("lamp", True))
    assert turns(lit, 1) == ["fade"]
    opened = begun(transition="carrier drop").send(SetFact("crates", 1))
    assert turns(opened, 1) == ["cut"]


def test_a_station_without_a_transition_leaves_it_open() -> None:
    """None is chosen: playout knows whether something was cut off."""
    assert turns(begun().send(Jump("far")), 1) == [None]


def test_the_end_has_a_transition_too() -> None:
    """The session gives way to the carrier."""
    assert turns(begun(transition="carrier drop").send(SetFact("crates", -1)), 2) == [
        "carrier drop",
        None,
    ]
