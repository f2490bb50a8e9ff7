"""The intake: what the room says, as much of it as a station should hear."""

import threading

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from broadcaster.room.commands import COMMANDS, Report, Why
from broadcaster.room.complaints import EVERY_S, MOST_SOURCES
from broadcaster.room.intake import COMMANDS_AT_ONCE, FACTS_A_SECOND, FACTS_AT_ONCE
from broadcaster.script.venue_settings import FactSettings
from broadcaster.story.events import Commanded
from broadcaster.story.in_events import Announce, GiveHint, Jump, SetFact
from tests.room.make import intake_of


def values(station) -> list[object]:
    """The values of the facts that the station was told, in order."""
    return [event.value for event in station.sent if isinstance(event, SetFact)]


# --- values -------------------------------------------------------------------------------------


@pytest.mark.parametrize(
    ("fact", "given", "held"),
    [
        *(("lamp", given, True) for given in (True, 1, 1.0, "yes", "on", "TRUE", " 1 ")),
        *(("lamp", given, False) for given in (False, 0, 0.0, "no", "off", "False", "0")),
        *(("crates", given, 3) for given in (3, 3.0, "3", "+3", "3.0", " 3\n")),
        *(("gate", given, "ajar") for given in ("ajar", " ajar ")),
    ],
)
def test_a_value_is_read_as_what_the_fact_holds(fact, given, held) -> None:
    """Whatever a device calls it."""
    intake, station, _ = intake_of()
    assert intake.take("serial", Report(fact, given)) is None
    (sent,) = station.sent
    assert sent == SetFact(fact, held, "serial")
    assert type(sent.value) is type(held)


@pytest.mark.parametrize(
    ("fact", "given"),
    [
        *(("lamp", given) for given in (2, -1, 0.5, "maybe", "", "2", float("nan"))),
        *(("crates", given) for given in (True, 2.5, "2.5", "three", "", "1e0", "0x1", "٣")),
        *(("crates", given) for given in (5, -1, "5", 10**30, float("inf"), "9" * 50)),
        *(("gate", given) for given in (True, 1, "AJAR", "open", "")),
    ],
)
def test_a_value_that_the_fact_cannot_hold_is_refused_and_shown(fact, given) -> None:
    """Nothing changes; and the sentence names the fact."""
    intake, station, _ = intake_of()
    refusal = intake.take("osc", Report(fact, given))
    assert refusal is not None
    assert refusal.why is Why.UNFIT
    assert fact in refusal.sentence
    assert station.sent == []
    assert station.refused == [f"osc: {refusal.sentence}"]


def test_an_unknown_fact_is_refused_with_the_nearest_name() -> None:
    """And shown."""
    intake, station, _ = intake_of()
    refusal = intake.take("mqtt", Report("lmap", True))
    assert refusal is not None
    assert refusal.why is Why.UNKNOWN
    assert "Did you mean `lamp`?" in refusal.sentence
    assert (station.sent, len(station.refused)) == ([], 1)


def test_a_fact_can_be_called_otherwise_outside_and_the_other_way_round() -> None:
    """A switch that opens is a lamp that is lit."""
    intake, station, _ = intake_of(lamp=FactSettings(named="reed 7", inverted=True))
    intake.take("serial", Report("reed 7", 0))
    intake.take("serial", Report("lamp", 1))
    assert values(station) == [True, False]
    assert intake.names.outside["lamp"] == "reed 7"


def test_a_number_beyond_the_settings_is_not_believed() -> None:
    """A sensor that reads nonsense changes nothing."""
    intake, station, _ = intake_of(crates=FactSettings.model_validate({"from": 1, "to": 3}))
    assert intake.take("serial", Report("crates", 4)) is not None
    assert intake.take("serial", Report("crates", 0)) is not None
    assert intake.take("serial", Report("crates", 3)) is None
    assert values(station) == [3]


def set_fact(fact: str, value: object) -> dict[str, object]:
    """The command by which a person or a program sets a fact."""
    return {"event": "set fact", "fact": fact, "value": value}


def test_what_is_set_by_hand_is_the_scripts_own_value() -> None:
    """Neither turned round nor put off nor bounded as a sensor's reports are."""
    form = {"named": "reed 7", "inverted": True, "steady for": 1.0, "hold for": 60.0}
    intake, station, _ = intake_of(
        lamp=FactSettings.model_validate(form),
        crates=FactSettings.model_validate({"from": 1, "to": 2}),
    )
    for fact, value in (("lamp", "yes"), ("reed 7", False), ("lamp", 1), ("crates", 4)):
        assert intake.take("mqtt desk-3f1c", set_fact(fact, value)) is None
    assert station.sent == [
        SetFact("lamp", True, "mqtt desk-3f1c, by hand"),
        SetFact("lamp", False, "mqtt desk-3f1c, by hand"),
        SetFact("lamp", True, "mqtt desk-3f1c, by hand"),
        SetFact("crates", 4, "mqtt desk-3f1c, by hand"),
    ]
    beyond = intake.take("http", set_fact("crates", 5))
    assert beyond is not None
    assert "It goes from 0 to 4." in beyond.sentence


def test_what_a_sensor_said_before_a_hand_counts_no_more() -> None:
    """A value that still waited is forgotten; one that comes after it counts again."""
    intake, station, clock = intake_of(lamp=FactSettings(steady_for=1.0))
    intake.take("serial", Report("lamp", False))
    intake.take("http", set_fact("lamp", True))
    pumped(intake, clock, 3.0)
    assert values(station) == [True]
    intake.take("serial", Report("lamp", False))
    pumped(intake, clock, 6.0)
    assert values(station) == [True, False]


def test_a_hand_that_is_refused_leaves_what_a_sensor_said() -> None:
    """Nothing has changed by it."""
    intake, station, clock = intake_of(crates=FactSettings(steady_for=1.0))
    intake.take("serial", Report("crates", 3))
    assert intake.take("http", set_fact("crates", 5)) is not None
    pumped(intake, clock, 3.0)
    assert values(station) == [3]


def test_a_fact_can_be_no_progress() -> None:
    """The event says so, whatever the message."""
    intake, station, _ = intake_of(lamp=FactSettings(progress=False))
    intake.take("serial", Report("lamp", True))
    intake.take("serial", Report("crates", 1))
    assert [event.progress for event in station.sent] == [False, True]


# --- time ---------------------------------------------------------------------------------------


def pumped(intake, clock, until_s: float) -> None:
    """Let time pass as the room does: sleep as long as pump() says, but not beyond."""
    while clock.seconds() < until_s:
        wait_s = intake.pump()
        left_s = until_s - clock.seconds()
        clock.wait(left_s if wait_s is None else min(wait_s, left_s))
    intake.pump()


def test_a_bouncing_switch_is_one_change() -> None:
    """`steady for`: its value counts once it has stayed for so long, and then at once."""
    intake, station, clock = intake_of(lamp=FactSettings(steady_for=0.05))
    for value in (True, False, True, False, True):
        intake.take("serial", Report("lamp", value))
        clock.wait(0.004)
    assert station.sent == []
    pumped(intake, clock, 0.060)
    assert values(station) == []
    pumped(intake, clock, 0.067)  # the last change came at 16 ms
    assert values(station) == [True]


def test_repeating_a_value_does_not_put_it_off() -> None:
    """A device that says how things stand ten times a second is steady all the time."""
    intake, station, clock = intake_of(lamp=FactSettings(steady_for=0.25))
    for _ in range(4):
        intake.take("serial", Report("lamp", True))
        pumped(intake, clock, clock.seconds() + 0.1)
    assert values(station)[0] is True


def test_a_short_pulse_is_held() -> None:
    """`hold for`: the next change waits, and is not lost."""
    intake, station, clock = intake_of(lamp=FactSettings(hold_for=2.0))
    intake.take("serial", Report("lamp", True))
    clock.wait(0.1)
    intake.take("serial", Report("lamp", False))
    pumped(intake, clock, 1.9)
    assert values(station) == [True]
    pumped(intake, clock, 2.0)
    assert values(station) == [True, False]


def test_of_what_comes_while_a_value_is_held_the_newest_counts() -> None:
    """One change at the end of the hold, whatever came between."""
    intake, station, clock = intake_of(crates=FactSettings(hold_for=1.0))
    for value in (1, 2, 3, 4):
        intake.take("serial", Report("crates", value))
        clock.wait(0.1)
    pumped(intake, clock, 3.0)
    assert values(station) == [1, 4]


def test_who_pumps_is_woken_when_something_waits() -> None:
    """Once, and again only if something is due sooner."""
    intake, _, clock = intake_of(
        lamp=FactSettings(steady_for=1.0), crates=FactSettings(steady_for=0.5)
    )
    woken = []
    intake.wake = lambda: woken.append(clock.seconds())
    intake.pump()
    intake.take("serial", Report("gate", "ajar"))
    assert woken == []
    intake.take("serial", Report("lamp", True))
    assert woken == [0.0]
    assert intake.pump() == pytest.approx(1.0)
    intake.take("serial", Report("lamp", True))
    assert woken == [0.0]
    intake.take("serial", Report("crates", 1))
    assert woken == [0.0, 0.0]
    assert intake.pump() == pytest.approx(0.5)


# --- floods -------------------------------------------------------------------------------------


def test_a_flood_of_facts_is_thinned_to_the_newest_values() -> None:
    """5,000 messages a second for 20 s, on a clock of our own: the station hears no more than
    its share, every fact's last value is right, and nothing piles up."""
    intake, station, clock = intake_of()
    due_s = 0.0
    for number in range(100_000):
        clock.wait(number / 5_000 - clock.seconds())
        if clock.seconds() >= due_s:
            wait_s = intake.pump()
            due_s = clock.seconds() + (60.0 if wait_s is None else wait_s)
        fact, value = (("lamp", number % 4 == 0), ("crates", number % 5))[number % 2]
        assert intake.take("mqtt", Report(fact, value)) is None
    pumped(intake, clock, 21.0)
    assert len(station.sent) <= 21 * FACTS_A_SECOND + FACTS_AT_ONCE
    last = {event.fact: event.value for event in station.sent}
    assert last == {"lamp": 99_998 % 4 == 0, "crates": 99_999 % 5}
    assert len(intake._waiting) == 0


def test_no_fact_starves_while_another_floods() -> None:
    """The one that waits longest goes first."""
    intake, station, clock = intake_of()
    for number in range(FACTS_AT_ONCE + 100):
        intake.take("mqtt", Report("crates", number % 5))
    intake.take("serial", Report("gate", "ajar"))
    pumped(intake, clock, 2.5 / FACTS_A_SECOND)
    assert SetFact("gate", "ajar", "serial") in station.sent


def test_a_hundred_facts_a_second_go_straight_through() -> None:
    """None of them waits for a pump."""
    intake, station, clock = intake_of()
    for number in range(1000):
        intake.take("mqtt", Report("crates", number % 5))
        assert len(station.sent) == number + 1
        clock.wait(0.01)


def test_too_many_commands_are_refused_and_never_lost_without_a_word() -> None:
    """Each is sent, or its sender knows; and other inlets are not hindered."""
    intake, station, clock = intake_of()
    answers = [intake.take("http", {"event": "give hint"}) for _ in range(50)]
    assert station.sent == [GiveHint()] * COMMANDS_AT_ONCE
    assert {answer.why for answer in answers if answer} == {Why.TOO_MANY}
    assert answers.count(None) == COMMANDS_AT_ONCE
    assert intake.take("serial", {"event": "give hint"}) is None
    clock.wait(0.11)
    assert intake.take("http", {"event": "give hint"}) is None


@pytest.mark.parametrize("event", ["plain voice", "stop plain voice"])
def test_no_flood_of_commands_keeps_the_plain_voice_off_the_air(event) -> None:
    """It is counted apart from what else its source commands."""
    intake, _, _ = intake_of()
    for _ in range(10 * COMMANDS_AT_ONCE):
        intake.take("http", {"event": "set signal", "strength": 3})
    assert intake.take("http", {"event": "give hint"}) is not None
    assert intake.take("http", {"event": event}) is None


@pytest.mark.parametrize(
    ("message", "words"),
    [
        ({"event": "end session"}, "end session"),
        ({"event": "jump", "segment": "the gate"}, "jump (the gate)"),
        (
            {"event": "jump", "segment": "the gate", "timing": "now", "transition": "fade"},
            "jump (the gate, now, fade)",
        ),
        ({"event": "announce", "text": "Wait.", "now": True}, "announce (Wait., now)"),
        ({"event": "set signal", "strength": 2}, "set signal (2)"),
        ({"event": "set readability", "grade": None}, "set readability (as the script says)"),
    ],
)
def test_who_commanded_it_is_told_before_it_is_passed_on(message, words) -> None:
    """By which way in it came, and what, in words."""
    intake, station, _ = intake_of()
    assert intake.take("mqtt desk-3f1c", message) is None
    assert station.reports == [Commanded(0, "mqtt desk-3f1c", words)]
    assert len(station.sent) == 1


def test_what_names_its_source_itself_and_what_is_refused_is_not_told_as_a_command() -> None:
    """A fact and the plain voice carry it in their own events."""
    intake, station, _ = intake_of()
    for message in (set_fact("lamp", True), {"event": "plain voice"}):
        assert intake.take("http", message) is None
    assert station.reports == []
    for _ in range(2 * COMMANDS_AT_ONCE):
        intake.take("http", {"event": "give hint"})
    told = [event for event in station.reports if isinstance(event, Commanded)]
    assert len(told) == len([event for event in station.sent if event == GiveHint()])


def test_a_jump_to_nowhere_and_an_empty_announcement_are_refused_here() -> None:
    """Whoever asks is told, and need not look at the log."""
    intake, station, _ = intake_of()
    refusal = intake.take("http", {"event": "jump", "segment": "gate"})
    assert refusal is not None
    assert refusal.why is Why.UNKNOWN
    assert "Did you mean `the gate`?" in refusal.sentence
    assert intake.take("http", {"event": "announce", "text": " ..."}) is not None
    assert station.sent == []
    assert intake.take("http", {"event": "jump", "segment": "the gate"}) is None
    assert intake.take("http", {"event": "announce", "text": "Yes."}) is None
    assert station.sent == [Jump("the gate"), Announce("Yes.")]


# --- what is refused ----------------------------------------------------------------------------


def test_nonsense_is_shown_once_in_a_while_with_a_count() -> None:
    """One sentence for each source, then how many more there were."""
    intake, station, clock = intake_of()
    for _ in range(1000):
        intake.take("osc", {"event": "explode"})
        intake.take("serial", Report("nothing", 1))
    assert len(station.refused) == 2
    pumped(intake, clock, EVERY_S)
    assert len(station.refused) == 4
    assert station.refused[2].startswith("osc: 999 more were refused in 10 s, the last: There is")
    pumped(intake, clock, 10 * EVERY_S)
    assert len(station.refused) == 4


def test_what_could_not_even_be_read_is_shown_the_same_way() -> None:
    """Bytes that are no text, an address that is none."""
    intake, station, _ = intake_of()
    for _ in range(3):
        intake.refuse("serial", "A line is no text.")
    assert station.refused == ["serial: A line is no text."]


@pytest.mark.parametrize("bad", ["\x1b[2J", "\ud800", "\u202egnp", "a\nb", "\0", "x" * 10_000])
def test_what_is_shown_of_a_message_steers_no_terminal(bad) -> None:
    """And the log can hold it: no control characters, no half ones, and it is short."""
    intake, station, _ = intake_of()
    intake.take("a", {"event": bad})
    intake.take("b", {"event": "give hint", bad: 1})
    intake.take("c", Report(bad, 1))
    intake.take("d", Report("lamp", bad))
    intake.take("e", {"event": "jump", "segment": bad})
    intake.refuse("f", f"This is no message: {bad}")
    assert len(station.refused) == 6
    for sentence in station.refused:
        assert sentence.isprintable()
        assert len(sentence.encode()) < 1000


def test_made_up_sources_fill_no_memory() -> None:
    """The oldest are forgotten."""
    intake, _, _ = intake_of()
    for number in range(10 * MOST_SOURCES):
        intake.take(f"osc {number}", {"event": "explode"})
        intake.take(f"osc {number}", {"event": "give hint"})
    assert len(intake._commands) == MOST_SOURCES
    assert len(intake._complaints._sources) == MOST_SOURCES


# --- anything at all ----------------------------------------------------------------------------

JSON = st.recursive(
    st.none() | st.booleans() | st.integers() | st.floats() | st.text(max_size=20),
    lambda inner: (
        st.lists(inner, max_size=3) | st.dictionaries(st.text(max_size=8), inner, max_size=3)
    ),
    max_leaves=8,
)
KEYS = st.sampled_from(["event", "fact", "value", "segment", "timing", "text", "now", "source"])
NAMES = st.sampled_from([*COMMANDS, "lamp", "crates", "gate", "watch", "now", "ajar"])
MESSAGES = JSON | st.dictionaries(KEYS, NAMES | JSON, max_size=5)


@settings(max_examples=150, deadline=None)
@given(st.lists(MESSAGES, min_size=1, max_size=6))
def test_whatever_comes_is_obeyed_or_refused(messages) -> None:
    """Never an error; what is refused changes nothing, and what is shown is a sentence a source."""
    intake, station, clock = intake_of(lamp=FactSettings(steady_for=0.1))
    for message in messages:
        before = len(station.sent)
        refusal = intake.take("mqtt", message)
        if refusal:
            assert len(station.sent) == before
            assert refusal.sentence.isprintable()
            assert len(refusal.sentence) < 400
    pumped(intake, clock, 1.0)
    assert len(station.refused) <= 1
    for event in station.sent:
        if isinstance(event, SetFact):
            assert intake._programme.facts[event.fact].refusal(event.value) is None


def test_several_threads_may_talk_at_once() -> None:
    """Each command arrives once, and each fact's newest value last."""
    intake, station, _ = intake_of()

    def talk(source: str) -> None:
        for number in range(COMMANDS_AT_ONCE):
            intake.take(source, {"event": "announce", "text": f"{source} {number}"})

    threads = [threading.Thread(target=talk, args=(f"source {n}",)) for n in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    texts = [event.text for event in station.sent if isinstance(event, Announce)]
    assert len(set(texts)) == len(texts) == 8 * COMMANDS_AT_ONCE
