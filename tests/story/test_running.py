"""Items with a mind of their own: choose, once, every so many rounds, set."""

from collections import Counter
from itertools import pairwise

import hypothesis.strategies as st
import pytest
from hypothesis import given, settings

from broadcaster.script.programme import SetFacts
from broadcaster.story.choosing import chance, pick
from broadcaster.story.events import (
    EndSession,
    FactChanged,
    Jump,
    MilestoneMet,
    SegmentEntered,
    SetFact,
    StartSession,
)
from tests.story.make import Run, choose, pause, programme, remember, say, segment

# --- choose -------------------------------------------------------------------------------------


def variants(count: int, **options: object) -> object:
    return choose(*(say(f"v{number}") for number in range(count)), **options)


def chosen(seed: int, rounds: int, *play: object) -> list[str]:
    run = Run(programme({"watch": segment(*play)}), seed=seed).send(StartSession())
    return run.texts(rounds)


@pytest.mark.parametrize("count", [2, 3, 7])
def test_no_variant_goes_out_twice_running(count: int) -> None:
    """Of two they take turns; of more each comes up, about as often as the others."""
    heard = chosen(5, 700, variants(count))
    assert all(one != other for one, other in pairwise(heard))
    share = Counter(heard)
    assert len(share) == count
    assert all(0.75 < times / (700 / count) < 1.25 for times in share.values())


def test_the_seed_decides() -> None:
    """The same seed, the same variants; other seeds, others."""
    runs = {tuple(chosen(seed, 12, variants(4))) for seed in range(20)}
    assert len(runs) == 20
    assert chosen(3, 50, variants(4)) == chosen(3, 50, variants(4))


def test_two_choices_do_not_march_in_step() -> None:
    """Each has chance of its own."""
    heard = chosen(1, 200, variants(5), variants(5))
    assert heard[::2] != heard[1::2]


def test_each_of_its_times_chooses_anew_and_carries_the_clue() -> None:
    """`times` and `clue` stand beside `choose`, and hold for the variant that goes out."""
    run = Run(programme({"watch": segment(variants(3, times=4, clue="key"), say("end"))}))
    run.send(StartSession())
    cues = [run.border() for _ in range(5)]
    assert [(cue.item.clue, cue.item.times, cue.time) for cue in cues[:4] if cue] == [
        ("key", 4, time) for time in (1, 2, 3, 4)
    ]
    texts = [cue.text for cue in cues if cue]
    assert all(one != other for one, other in pairwise(texts))


def test_an_item_sent_again_is_the_same_variant() -> None:
    """Nothing is chosen anew for what was cut."""
    run = Run(programme({"watch": segment(variants(9))})).send(StartSession())
    (text,) = run.texts(1)
    run.state = run.story.again(run.state)
    assert run.texts(1) == [text]


def test_a_new_session_of_the_same_seed_chooses_the_same() -> None:
    """A session is a function of programme, seed and events, wherever in the day it lies."""
    run = Run(programme({"watch": segment(variants(5))})).send(StartSession())
    first = run.texts(10)
    run.send(EndSession()).border()
    assert run.after(99).send(StartSession()).texts(10) == first


@given(st.integers(0, 2**64), st.integers(0, 2**20), st.integers(1, 12), st.data())
def test_a_pick_is_one_of_the_variants_and_never_the_last(
    seed: int, count: int, of: int, data: st.DataObject
) -> None:
    """For every seed and count."""
    last = data.draw(st.none() | st.integers(0, of - 1))
    picked = pick(chance(seed, 3, count), of, last)
    assert 0 <= picked < of
    assert picked != last or of == 1


# --- once, every --------------------------------------------------------------------------------


def test_once_is_once_a_session() -> None:
    """Also when its segment is entered again; the first time that `when` holds counts."""
    run = Run(
        programme(
            {
                "watch": segment(
                    say("welcome", once="yes", times=2),
                    say("one", when="rounds > 0", once="yes"),
                    say("two"),
                )
            }
        )
    ).send(StartSession())
    assert run.texts(6) == ["welcome", "welcome", "two", "one", "two", "two"]
    assert run.send(Jump("watch")).texts(2) == ["two", "two"]
    run.send(EndSession()).border()
    assert run.send(StartSession()).texts(1) == ["welcome"]


def test_every_so_many_rounds_begins_with_that_round() -> None:
    """`every: 3 rounds` goes out in rounds 3 and 6; entering the segment counts anew."""
    script = programme({"watch": segment(say("x"), say("third", every="3 rounds"))})
    run = Run(script).send(StartSession())
    assert run.texts(8) == ["x", "x", "x", "third", "x", "x", "x", "third"]
    assert run.send(Jump("watch")).texts(4) == ["x", "x", "x", "third"]


# --- set ----------------------------------------------------------------------------------------


def test_set_changes_facts_in_passing() -> None:
    """It takes no time, is told, and is not the room's doing: quiet time goes on."""
    script = programme(
        {"watch": segment(say("one"), remember(warned=True, count=3), say("two {count}"))},
        facts={"warned": False, "count": 0},
    )
    run = Run(script).after(4).send(StartSession())
    run.border()
    quiet = run.state.quiet_frame
    assert run.after(5).texts(1) == ["two 3"]
    assert run.heard(FactChanged) == [
        FactChanged(run.frame, "warned", True, "script"),
        FactChanged(run.frame, "count", 3, "script"),
    ]
    assert run.state.quiet_frame == quiet
    run.texts(2)
    assert len(run.heard(FactChanged)) == 2, "what does not change is not told"


def test_set_may_meet_a_milestone_and_open_an_exit_at_once() -> None:
    """The exit is taken before the next item, with no cut."""
    script = programme(
        {
            "watch": segment(
                say("one"),
                remember(warned=True),
                say("never"),
                exits=({"to": "far", "when": "met(warning)", "at once": "yes"},),
            ),
            "far": segment(say("far")),
        },
        facts={"warned": False},
        milestones={"warning": {"when": "warned", "by": "5 min"}},
    )
    run = Run(script).send(StartSession())
    assert run.texts(2) == ["one", "far"]
    assert run.heard(MilestoneMet) == [MilestoneMet(0, "warning", 0)]


def test_set_has_its_turn_like_any_item() -> None:
    """`when` and `once` hold for it too."""
    script = programme(
        {
            "watch": segment(
                say("{lamp} {count}"),
                SetFacts(set={"lamp": True}, once="yes", when="rounds > 0"),
                remember(count=1),
            )
        },
        facts={"lamp": False, "count": 0},
    )
    run = Run(script).send(StartSession())
    assert run.texts(4) == ["no 0", "no 1", "yes 1", "yes 1"]
    assert run.send(SetFact("lamp", False)).texts(2) == ["no 1", "no 1"]


def test_segments_that_only_remember_cannot_spin() -> None:
    """A running order without anything to hear is filled by the carrier."""
    script = programme(
        {
            "here": segment(remember(lamp=True), remember(lamp=False)),
            "there": segment(remember(lamp=True), exits=({"to": "back"},)),
            "back": segment(remember(lamp=False), exits=({"to": "there"},)),
        },
        facts={"lamp": False},
    )
    run = Run(script).send(StartSession())
    for _ in range(3):
        cue = run.border()
        assert cue is not None
        assert cue.item.kind == "carrier"
    cue = run.send(Jump("there")).border()
    assert cue is not None
    assert cue.item.kind == "carrier"
    assert len(run.heard(SegmentEntered)) < 20


# --- all together -------------------------------------------------------------------------------


@settings(max_examples=40, deadline=None)
@given(st.integers(0, 99), st.lists(st.sampled_from(["border", "jump"]), max_size=30))
def test_a_state_is_all_that_decides(seed: int, moves: list[str]) -> None:
    """Equal states have equal hashes and equal futures, and looking ahead changes neither."""
    script = programme(
        {
            "watch": segment(
                variants(3), say("once", once="yes"), pause("1 s"), remember(lamp=True)
            ),
            "far": segment(variants(2), say("second", every="2 rounds")),
        },
        facts={"lamp": False},
    )
    run, other = (Run(script, seed).send(StartSession()) for _ in range(2))
    for move in moves:
        for one in (run, other):
            if move == "jump":
                one.send(Jump("far"))
            one.after(1).border()
        run.story.foresee(run.state, run.frame, 3, lambda cue: 48_000)
        run.story.entries(run.state, run.frame)
        assert run.state == other.state
        assert hash(run.state) == hash(other.state)
