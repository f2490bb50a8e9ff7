"""What the story tells of what would come: the next hint, and the end of the round."""

from broadcaster.story.cue import Cue
from broadcaster.story.events import (
    Announce,
    GiveHint,
    HintReady,
    Hold,
    Jump,
    PlainVoice,
    SetFact,
    StartSession,
)
from broadcaster.units import RATE
from tests.story.make import Run, entry, programme, say, segment


def on_air() -> Run:
    script = programme(
        {
            "watch": segment(
                say("one"),
                say("two", times=2),
                say("odd", every="2 rounds"),
                hints=(say("gentle"), say("{crates} of four", when="crates > 0"), say("plain")),
            ),
            "bare": segment(say("far")),
        },
        facts={"crates": 0},
        timetable=(entry(say("quarter"), at="4 s"),),
    )
    run = Run(script).send(StartSession())
    run.border()
    return run


def ready(run: Run) -> tuple[int, int, str]:
    hint, _ = run.story.hint_ready(run.state, run.frame)
    return hint.rung, hint.of, hint.text


def test_the_next_hint_is_told_as_it_would_be_said() -> None:
    """The rung that can be given now, with its values; one that cannot is passed over."""
    run = on_air()
    assert run.story.hint_ready(run.state, 7)[0] == HintReady(7, "watch", 1, 3, "gentle")
    run.send(GiveHint())
    assert ready(run) == (0, 3, "")  # it waits, and is as good as given
    assert run.texts(1) == ["gentle"]
    assert ready(run) == (3, 3, "plain")
    run.send(SetFact("crates", 2))
    assert ready(run) == (2, 3, "2 of four")


def test_what_is_told_is_what_is_given() -> None:
    """Rung for rung, to the end of the ladder."""
    run = on_air()
    while (told := ready(run))[0]:
        assert run.send(GiveHint()).texts(1) == [told[2]]
    assert told == (0, 3, "")


def test_there_is_no_hint_without_a_ladder_or_a_session() -> None:
    """Rung 0, and no text."""
    assert ready(Run(on_air().story.programme)) == (0, 0, "")
    run = on_air().send(Jump("bare"))
    run.border()
    assert ready(run) == (0, 0, "")


def end(run: Run, border_s: float = 1.0, most: int = 20) -> float | None:
    """Seconds from now to the round's end, if each item lasts a second."""
    border = run.frame + round(border_s * RATE)
    found = run.story.round_end(run.state, border, lambda cue: RATE, most)
    return None if found is None else (found - run.frame) / RATE


def test_the_rounds_end_counts_what_is_still_to_come() -> None:
    """The item on air to its border, then `two` twice; in a second round `odd` as well."""
    run = on_air()
    assert end(run) == 3.0
    assert end(run, border_s=0.25) == 2.25
    run.texts(3)  # two, two, one
    assert end(run, border_s=0.5) == 3.5


def test_what_is_put_in_makes_a_round_longer() -> None:
    """An announcement that waits, and an entry of the timetable that falls due in it."""
    run = on_air().send(Announce("Step back."))
    assert end(run) == 5.0, "the announcement makes the round last until the entry is due"


def test_a_round_ends_where_its_segment_is_left() -> None:
    """After the item, if a jump waits for that."""
    assert end(on_air().send(Jump("bare"))) == 1.0


def test_no_end_is_foreseen_where_nothing_goes_on() -> None:
    """At stand by, while the session is held, under the plain voice, and too far ahead."""
    assert end(Run(on_air().story.programme)) is None
    assert end(on_air().send(Hold())) is None
    assert end(on_air().send(PlainVoice())) is None
    assert end(on_air(), most=2) is None


def test_looking_changes_nothing() -> None:
    """The state is as it was."""
    run = on_air()
    before = run.state
    end(run)
    ready(run)
    assert run.state == before
    assert isinstance(run.border(), Cue)
