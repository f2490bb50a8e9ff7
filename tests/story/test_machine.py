"""What goes on air next: running orders, rounds, exits, jumps, the session."""

import pytest

from broadcaster.story.events import (
    EndSession,
    FactChanged,
    Jump,
    JumpTiming,
    JumpWaiting,
    Refused,
    SegmentEntered,
    SessionClock,
    SessionEnded,
    SessionStarted,
    SetFact,
    StartSession,
    TakeBackJump,
)
from broadcaster.story.state import Phase
from tests.story.make import Run, pause, programme, say, segment


def test_stand_by_sends_nothing_until_the_session_starts() -> None:
    """A station stands by with the carrier alone; StartSession begins with the opening segment."""
    run = Run(programme({"watch": segment(say("one"), say("two"))}))
    assert run.border() is None
    assert run.story.waits(run.state)
    run.send(StartSession())
    assert not run.story.waits(run.state)
    assert run.texts(1) == ["one"]
    assert run.told == [
        SessionStarted(0),
        SessionClock(0, 0, running=True),
        SegmentEntered(0, "watch", "the opening"),
    ]


def test_a_round_goes_in_order_and_begins_again() -> None:
    """Items go out in order, each as often as `times` says, round after round."""
    run = Run(programme({"watch": segment(say("one", times=2), say("two"))}))
    run.send(StartSession())
    assert run.texts(7) == ["one", "one", "two", "one", "one", "two", "one"]


def test_a_cue_tells_its_time_and_round() -> None:
    """A cue knows which of its times and which round it is, from 1."""
    run = Run(programme({"watch": segment(say("one", times=2))}))
    run.send(StartSession())
    cues = [run.border() for _ in range(4)]
    assert [(cue.time, cue.round) for cue in cues if cue] == [(1, 1), (2, 1), (1, 2), (2, 2)]


def test_when_is_asked_at_the_items_turn() -> None:
    """An item whose `when` does not hold at its turn is passed over."""
    script = programme(
        {"watch": segment(say("always"), say("lit", when="lamp"))}, facts={"lamp": False}
    )
    run = Run(script).send(StartSession())
    assert run.texts(2) == ["always", "always"]
    run.send(SetFact("lamp", True))
    assert run.texts(2) == ["lit", "always"]


def test_a_text_carries_the_facts_of_its_turn() -> None:
    """`{crates}` is filled in when the item's turn comes; yes/no facts are said as such."""
    script = programme(
        {"watch": segment(say("{crates} open, lamp {lamp}"))}, facts={"crates": 0, "lamp": False}
    )
    run = Run(script).send(StartSession()).send(SetFact("crates", 3)).send(SetFact("lamp", True))
    assert run.texts(1) == ["3 open, lamp yes"]


def test_the_first_exit_that_holds_wins_at_the_rounds_end() -> None:
    """Exits are tried in order at the end of a round, and only there."""
    script = programme(
        {
            "watch": segment(
                say("one"),
                say("two"),
                exits=(
                    {"to": "late", "when": "crates > 2"},
                    {"to": "lit", "when": "lamp"},
                ),
            ),
            "lit": segment(say("lit")),
            "late": segment(say("late")),
        },
        facts={"lamp": False, "crates": 0},
    )
    run = Run(script).send(StartSession())
    run.border()
    run.send(SetFact("lamp", True))
    assert not run.cut
    assert run.texts(2) == ["two", "lit"]
    assert SegmentEntered(0, "lit", "exit: lamp") in run.told


def test_an_exit_at_once_cuts_the_item_and_is_followed_though_the_fact_flips_back() -> None:
    """`at once` is tried when a fact changes; once taken it stays taken."""
    script = programme(
        {
            "watch": segment(say("one"), exits=({"to": "lit", "when": "lamp", "at once": "yes"},)),
            "lit": segment(say("lit")),
        },
        facts={"lamp": False},
    )
    run = Run(script).send(StartSession())
    run.border()
    run.send(SetFact("lamp", True))
    assert run.cut
    run.send(SetFact("lamp", False))
    assert run.texts(1) == ["lit"]


def test_an_exit_at_once_that_holds_on_entering_is_taken_before_anything_is_sent() -> None:
    """A segment whose `at once` exit is open already sends nothing."""
    script = programme(
        {
            "watch": segment(say("one"), exits=({"to": "lit", "when": "lamp", "at once": "yes"},)),
            "lit": segment(say("lit")),
        },
        facts={"lamp": True},
    )
    assert Run(script).send(StartSession()).texts(1) == ["lit"]


def test_time_alone_opens_an_exit_at_its_frame() -> None:
    """frames_until_change tells the very frame: a tick there cuts, one frame before it does not."""
    script = programme(
        {
            "watch": segment(
                say("one"),
                exits=({"to": "late", "when": "segment time >= 90 s", "at once": "yes"},),
            ),
            "late": segment(say("late")),
        }
    )
    run = Run(script).after(10).send(StartSession())
    run.border()
    wait = run.story.frames_until_change(run.state, run.frame)
    assert wait == 90 * 48_000
    run.frame += wait - 1
    assert not run.tick().cut
    run.frame += 1
    assert run.tick().cut
    assert run.texts(1) == ["late"]


@pytest.mark.parametrize(
    ("timing", "before", "cut"),
    [
        (JumpTiming.NOW, [], True),
        (JumpTiming.AFTER_ITEM, [], False),
        (JumpTiming.AFTER_ROUND, ["two"], False),
    ],
)
def test_a_jump_is_made_at_its_moment(timing: JumpTiming, before: list[str], cut: bool) -> None:
    """Now and after the item: at the next border (now cuts); after the round: at its end."""
    run = Run(programme({"watch": segment(say("one"), say("two")), "other": segment(say("far"))}))
    run.send(StartSession())
    run.border()
    run.send(Jump("other", timing))
    assert run.cut is cut
    assert run.texts(len(before) + 1) == [*before, "far"]
    assert JumpWaiting(0, "other", timing) in run.told
    assert JumpWaiting(0, None, None) in run.told
    assert SegmentEntered(0, "other", "jump") in run.told


def test_a_waiting_jump_can_be_taken_back() -> None:
    """TakeBackJump forgets the jump; with none waiting it is refused."""
    run = Run(programme({"watch": segment(say("one")), "other": segment(say("far"))}))
    run.send(StartSession())
    run.border()
    run.send(Jump("other")).send(TakeBackJump())
    assert run.texts(1) == ["one"]
    assert isinstance(run.send(TakeBackJump()).told[-1], Refused)


def test_the_end_leads_back_to_stand_by() -> None:
    """`to: end` ends the session; the carrier stays; the next session begins with fresh facts."""
    script = programme(
        {"watch": segment(say("one"), exits=({"to": "end", "when": "lamp"},))},
        facts={"lamp": False},
    )
    run = Run(script).send(StartSession())
    run.border()
    run.after(5).send(SetFact("lamp", True))
    assert run.border() is None
    assert run.state.phase is Phase.ENDED
    assert run.told[-1] == SessionEnded(5 * 48_000, "exit: lamp")
    assert run.send(StartSession()).texts(2) == ["one", "one"]


def test_facts_told_before_the_first_session_are_kept() -> None:
    """The room may speak while the station stands by."""
    run = Run(programme({"watch": segment(say("lamp {lamp}"))}, facts={"lamp": False}))
    run.send(SetFact("lamp", True)).send(StartSession())
    assert run.texts(1) == ["lamp yes"]


def test_the_operator_ends_a_session() -> None:
    """EndSession cuts and ends."""
    run = Run(programme({"watch": segment(say("one"))})).send(StartSession())
    run.border()
    assert run.send(EndSession()).cut
    assert run.border() is None
    assert run.told[-1] == SessionEnded(0, "the operator")


@pytest.mark.parametrize(
    ("event", "sentence"),
    [
        (SetFact("lump", True), "There is no fact 'lump'."),
        (SetFact("lamp", 3), "The fact 'lamp': `3` is neither `yes` nor `no`."),
        (SetFact("crates", True), "The fact 'crates': `yes` is not a whole number."),
        (Jump("nowhere"), "There is no segment 'nowhere'."),
        (StartSession(), "A session is already on air."),
    ],
)
def test_what_cannot_be_obeyed_is_refused_and_changes_nothing(event: object, sentence: str) -> None:
    """A wrong event is told as Refused; the state stays the very same."""
    script = programme({"watch": segment(say("one"))}, facts={"lamp": False, "crates": 0})
    run = Run(script).send(StartSession())
    before = run.state
    run.send(event)  # type: ignore[arg-type]
    assert run.state is before
    assert not run.cut
    assert run.told[-1] == Refused(0, sentence)


@pytest.mark.parametrize("event", [EndSession(), Jump("watch")])
def test_without_a_session_there_is_nothing_to_end_or_jump_from(event: object) -> None:
    """EndSession and Jump are refused in stand by."""
    run = Run(programme({"watch": segment(say("one"))})).send(event)  # type: ignore[arg-type]
    assert isinstance(run.told[-1], Refused)


def test_a_fact_set_to_the_value_it_has_is_no_news() -> None:
    """Repeating a fact tells nothing and does not count as the room stirring."""
    run = Run(programme({"watch": segment(say("one"))}, facts={"lamp": False}))
    run.send(StartSession()).after(9).send(SetFact("lamp", False))
    assert not any(isinstance(event, FactChanged) for event in run.told)
    assert run.state.quiet_frame == 0


def test_a_round_with_nothing_to_send_is_filled_by_the_carrier() -> None:
    """The air is never dead: an empty round becomes a second of carrier, and is tried again."""
    script = programme({"watch": segment(say("lit", when="lamp"))}, facts={"lamp": False})
    run = Run(script).send(StartSession())
    cue = run.border()
    assert cue is not None
    assert cue.item.kind == "carrier"
    run.send(SetFact("lamp", True))
    assert run.texts(1) == ["lit"]


def test_segments_that_only_pass_on_cannot_spin() -> None:
    """Two empty segments that exit to each other are filled by the carrier too."""
    script = programme(
        {
            "here": segment(say("x", when="lamp"), exits=({"to": "there"},)),
            "there": segment(say("y", when="lamp"), exits=({"to": "here"},)),
        },
        facts={"lamp": False},
    )
    cue = Run(script).send(StartSession()).border()
    assert cue is not None
    assert cue.item.kind == "carrier"


def test_looking_ahead_changes_nothing_and_tells_what_comes() -> None:
    """foresee runs the same machine on assumed lengths; the state stays as it was."""
    script = programme(
        {
            "watch": segment(say("one"), exits=({"to": "late", "when": "session time > 5 s"},)),
            "late": segment(say("late")),
        }
    )
    run = Run(script).send(StartSession())
    before = run.state
    cues = run.story.foresee(run.state, 0, 4, lambda cue: 4 * 48_000)
    assert [cue.text for cue in cues] == ["one", "one", "late", "late"]
    assert run.state is before


def test_entries_are_the_first_cues_of_every_segment() -> None:
    """For each segment, what a jump there would air first with the facts as they are."""
    script = programme({"watch": segment(say("one")), "far": segment(pause("2 s"), say("far"))})
    run = Run(script).send(StartSession())
    run.border()
    assert [cue.segment for cue in run.story.entries(run.state, 0)] == ["watch", "far"]
