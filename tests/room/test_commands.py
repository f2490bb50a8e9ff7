"""The one table from a message to an event."""

import typing
from dataclasses import MISSING, fields
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

import broadcaster
from broadcaster.room.commands import COMMANDS, NOT_TOLD, RefusedError, Why, event_of, message_of
from broadcaster.script.transitions import TRANSITIONS
from broadcaster.script.values import LONGEST_TEXT
from broadcaster.story.in_events import (
    Announce,
    GiveHint,
    InEvent,
    Jump,
    JumpTiming,
    PlainVoice,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
    TimetableDue,
)

TEXT = st.text(st.characters(codec="ascii", exclude_categories=["C"]), max_size=50)
ASKED = st.one_of(
    *(st.builds(kind) for kind in COMMANDS.values() if not kind.__dataclass_fields__),
    st.builds(Jump, TEXT, st.sampled_from(JumpTiming), st.sampled_from((None, *TRANSITIONS))),
    st.builds(SetSignal, st.none() | st.floats(0, 5)),
    st.builds(SetReadability, st.none() | st.floats(1, 5)),
    st.builds(SetFact, TEXT, st.booleans() | st.integers() | TEXT, st.just("http")),
    st.builds(Announce, TEXT, st.booleans()),
    st.builds(PlainVoice, TEXT, st.just("http")),
)


def refused(message: object) -> tuple[Why, str]:
    """Why a message is refused, and the sentence."""
    with pytest.raises(RefusedError) as error:
        event_of(message, "http")
    return error.value.refusal.why, error.value.refusal.sentence


@given(ASKED)
def test_a_message_and_its_event_are_the_same_thing_twice(event: InEvent) -> None:
    """There and back, the same event."""
    assert event_of(message_of(event), "http") == event


def test_all_that_a_person_may_ask_of_a_station_is_in_the_table() -> None:
    """Every event that comes in, less what the desk's own clock says."""
    assert set(COMMANDS.values()) == set(typing.get_args(InEvent)) - {TimetableDue}


def test_the_names_are_those_of_as_run_records() -> None:
    """In words, with their fields' names."""
    assert message_of(Jump("watch", JumpTiming.NOW)) == {
        "event": "jump",
        "segment": "watch",
        "timing": "now",
        "transition": None,
    }
    assert event_of({"event": "start session"}, "mqtt") == StartSession()


def test_what_is_left_out_is_as_usual() -> None:
    """A jump after the item, an announcement that waits."""
    assert event_of({"event": "jump", "segment": "watch"}, "osc") == Jump("watch")
    assert event_of({"event": "announce", "text": "Hello"}, "osc") == Announce("Hello", now=False)


def test_the_inlet_tells_where_a_fact_comes_from_and_the_message_cannot() -> None:
    """Nobody can write another source into the log, or decide what counts as progress."""
    event = event_of({"event": "set fact", "fact": "lamp", "value": True}, "serial")
    assert event == SetFact("lamp", True, "serial")
    for key in ("source", "progress"):
        message = {"event": "set fact", "fact": "lamp", "value": True, key: "operator"}
        assert refused(message)[0] is Why.MALFORMED


@pytest.mark.parametrize(
    ("message", "why", "part"),
    [
        (None, Why.MALFORMED, "a mapping"),
        ([], Why.MALFORMED, "a mapping"),
        ({}, Why.MALFORMED, "`event`"),
        ({"event": 3}, Why.MALFORMED, "`event`"),
        ({"event": "jmup", "segment": "watch"}, Why.UNKNOWN, "Did you mean `jump`?"),
        ({"event": "close station"}, Why.UNKNOWN, "no event"),
        ({"event": "timetable due", "entry": 0}, Why.UNKNOWN, "no event"),
        ({"event": "jump"}, Why.MALFORMED, "lacks `segment`"),
        ({"event": "jump", "segment": 5}, Why.MALFORMED, "not a text"),
        ({"event": "jump", "segment": "x" * 201}, Why.MALFORMED, "201 characters"),
        ({"event": "jump", "segment": "a\0b"}, Why.MALFORMED, "no text"),
        ({"event": "jump", "segment": "\ud800"}, Why.MALFORMED, "no text"),
        ({"event": "jump", "segment": "a", "timing": "soon"}, Why.MALFORMED, "`after item`"),
        ({"event": "jump", "segment": "a", "timing": None}, Why.MALFORMED, "`now`"),
        ({"event": "jump", "segment": "a", "when": "now"}, Why.MALFORMED, "`when`"),
        ({"event": "jump", "segment": "a", "transition": {}}, Why.MALFORMED, "`retune sweep`"),
        ({"event": "jump", "segment": "a", "transition": "f\x1bade"}, Why.MALFORMED, "`fade`"),
        ({"event": "set signal"}, Why.MALFORMED, "lacks `strength`"),
        ({"event": "set signal", "strength": 5.1}, Why.MALFORMED, "from 0 to 5"),
        ({"event": "set signal", "strength": float("nan")}, Why.MALFORMED, "from 0 to 5"),
        ({"event": "set signal", "strength": True}, Why.MALFORMED, "from 0 to 5"),
        ({"event": "set signal", "strength": "\x1b[2J"}, Why.MALFORMED, "from 0 to 5"),
        ({"event": "set readability", "grade": 0}, Why.MALFORMED, "from 1 to 5"),
        ({"event": "set readability", "grade": 10**400}, Why.MALFORMED, "from 1 to 5"),
        ({"event": "set readability", "grade": [3]}, Why.MALFORMED, "from 1 to 5"),
        ({"event": "give hint", "text": "x"}, Why.MALFORMED, "no other keys"),
        ({"event": "give hint", 5: "x"}, Why.MALFORMED, "`5`"),
        ({"event": "announce", "text": "a", "now": 1}, Why.MALFORMED, "neither true nor false"),
        ({"event": "announce", "text": "a" * (LONGEST_TEXT + 1)}, Why.MALFORMED, "5000"),
        ({"event": "set fact", "fact": "lamp", "value": [1]}, Why.MALFORMED, "single value"),
        ({"event": "set fact", "fact": "lamp", "value": None}, Why.MALFORMED, "single value"),
        ({"event": "set fact", "fact": "lamp"}, Why.MALFORMED, "lacks `value`"),
    ],
)
def test_what_is_not_quite_right_is_refused_in_a_sentence(message, why, part) -> None:
    """What was found, and what is allowed."""
    found, sentence = refused(message)
    assert found is why
    assert part in sentence
    assert sentence.endswith(("?", "."))


def test_an_event_without_fields_is_the_same_each_time() -> None:
    """Nothing of the message stays in it."""
    assert event_of({"event": "give hint"}, "a") == event_of({"event": "give hint"}, "b")
    assert GiveHint() == GiveHint()


def test_the_manual_has_every_command_with_what_it_needs() -> None:
    """Its table is this one."""
    page = (Path(broadcaster.__file__).parent / "manual" / "room.md").read_text()
    table = page.partition("## What can be commanded")[2].partition("\n## ")[0]
    rows = [[cell.strip() for cell in line.split("|")[1:4]] for line in table.splitlines()]
    found = {
        name: (needed, may.split(":")[0])
        for names, needed, may in (row for row in rows if len(row) == 3)
        for name in names.split(", ")
    }
    for name, kind in COMMANDS.items():
        told = [field for field in fields(kind) if field.name not in NOT_TOLD]
        needed = ", ".join(field.name for field in told if field.default is MISSING)
        may = ", ".join(field.name for field in told if field.default is not MISSING)
        assert found[name] == (needed, may)
