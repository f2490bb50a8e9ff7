"""Clues of repeating segments: the loop that the machine plays, and closed forms to the frame."""

import pytest

from broadcaster.air.items import Failure
from broadcaster.air.preparing import maker
from broadcaster.rehearsal.tune_in_clues import LOOK_UP_S, NO_TIMES, NOT_REPEATED, clue_times
from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import Groups, Morse, Pause, Spell
from broadcaster.units import RATE
from tests.fakes import FRAMES_PER_CHARACTER, FakeSpeaker
from tests.story.make import choose, pause, programme, remember, say, segment

KEEPER = VoiceProfile(
    about="a keeper", figure_gap=0.3, group_gap=1.0, sentence_gap=0.4, pause=0.7, rate=140
)


def times_of(*play, facts=None, sound=None, milestones=None, **options):
    """The clues of one segment, with a stand-in for a speaker."""
    script = programme({"watch": segment(*play, **options)}, facts, milestones=milestones)
    script = script.model_copy(update={"cast": {"keeper": KEEPER}})
    make = sound or maker(script, FakeSpeaker())
    return list(clue_times(script, lambda cue: make(cue.content)))


def only(*play, **options):
    (clue,) = times_of(*play, **options)
    return clue.times


def spoken_s(text):
    """How long the stand-in takes for a sentence, with the voice's pause."""
    return len(text) * FRAMES_PER_CHARACTER / RATE + 0.7


def within_a_frame(seconds):
    return pytest.approx(seconds, abs=1.5 / RATE)


def test_one_clue_in_a_loop():
    """Worst L + d, mean L/2 + d, 90th percentile 0.9 L + d."""
    told = only(pause("3 s"), say("Red.", clue="red"), pause("5 s"))
    length = spoken_s("Red.")
    loop = 8 + length
    assert told.length_s == within_a_frame(length)
    assert told.worst_s == within_a_frame(loop + length)
    assert told.mean_s == within_a_frame(loop / 2 + length)
    assert told.p90_s == within_a_frame(0.9 * loop + length)
    assert (told.assembled_worst_s, told.beginner_worst_s) == (None, None)


def test_times_and_several_items():
    """Each time is an airing, and so is another item with the same clue."""
    told = only(say("Red.", clue="red", times=2), pause("9 s"), say("Rouge.", clue="red"))
    # Just after the second `Red.`, the next is 9 s on, and longer.
    assert told.worst_s == within_a_frame(spoken_s("Red.") + 9 + spoken_s("Rouge."))


def test_groups_are_assembled():
    """Figure by figure: a whole loop and the longest figure, `three`."""
    told = only(Groups(groups="13 2", clue="gate"), pause("5 s"))
    figures = (3 + 5 + 3) * FRAMES_PER_CHARACTER / RATE  # one, three, two
    loop = figures + 0.3 + 1.0 + 0.7 + 5
    assert told.worst_s == within_a_frame(loop + loop - 5)
    assert told.assembled_worst_s == within_a_frame(loop + 5 * FRAMES_PER_CHARACTER / RATE)
    assert only(Spell(spell="A", clue="a"), pause("5 s")).assembled_worst_s is not None


def test_morse_is_assembled_and_looked_up():
    """R at 6 wpm is 7 dots of 200 ms; a beginner who looks up for 4 s gets a symbol a round."""
    told = only(Morse(morse="ER", speed="6 wpm", clue="er"), pause("1 s"))
    dot = 0.2
    loop = (1 + 3 + 7 + 7) * dot + 1
    assert told.worst_s == within_a_frame(loop + loop - 1)
    assert told.assembled_worst_s == within_a_frame(loop + 7 * dot)
    # Just after R began: E in a while, R a round later, and its looking up.
    worst = (loop - 4 * dot) + loop + (4 + 7) * dot + LOOK_UP_S
    assert told.beginner_worst_s == within_a_frame(worst)


LONG = "A long story " * 9 + "ends."

# --- rounds and variants ------------------------------------------------------------------------


def test_every_third_round():
    """A clue that goes out in each third round only: three rounds are its loop."""
    told = only(pause("4 s"), say("Red.", clue="red", every="3 rounds"))
    length = spoken_s("Red.")
    assert told.worst_s == within_a_frame(3 * 4 + 2 * length)
    assert told.mean_s == within_a_frame((3 * 4 + length) / 2 + length)


def test_a_long_beginning_counts_for_the_worst():
    """What goes out once makes the first wait longer, and the mean no longer."""
    play = (pause("1 s"), say("Red.", clue="red"))
    settled, told = only(*play), only(say(LONG, once="yes"), *play)
    assert told.mean_s == settled.mean_s
    assert told.worst_s == within_a_frame(spoken_s(LONG) + 1 + spoken_s("Red."))


def test_not_repeated():
    """Who tunes in late never hears what goes out once, or in the first rounds only."""
    for options in ({"once": "yes"}, {"when": "rounds < 2"}):
        (clue,) = times_of(pause("1 s"), say("Red.", clue="red", **options))
        assert (clue.times, clue.trouble) == (NO_TIMES, NOT_REPEATED)


def test_the_worst_variant_counts():
    """What only goes out with a fact, or late in the session, makes the loop longer."""
    play = (say("Red.", clue="red"), pause("1 s"))
    for when in ("x", "session time > 20 min", "quiet time > 3 min", "time left < 9 min"):
        (clue,) = times_of(
            *play,
            Pause(pause="60 s", when=when),
            facts={"x": False},
        )
        assert clue.variants == 2
        assert clue.times.worst_s == within_a_frame(61 + 2 * spoken_s("Red."))


@pytest.mark.parametrize("when", ["met(lamp)", "stalled(lamp)", "stalled", "hints given > 1"])
def test_what_waits_for_a_milestone_or_a_hint_is_repeated(when):
    """It goes out again and again from then on."""
    lamp = {"when": "lit", "by": "20 min", "hint after": "24 min"}
    (clue,) = times_of(
        pause("1 s"),
        say("Red.", clue="red", when=when),
        facts={"lit": False},
        milestones={"lamp": lamp},
    )
    assert clue.times.worst_s == within_a_frame(1 + 2 * spoken_s("Red."))


def test_a_choice_that_tells_the_time():
    """Its variants are as long as they are when a session begins."""
    told = only(choose(say("{time left}"), say("A lamp")), say("Red.", clue="red"))
    assert told.worst_s == within_a_frame(spoken_s("one hour") + 2 * spoken_s("Red."))


def test_a_choice_counts_as_its_longest():
    """`choose` is taken at its longest, clue and all."""
    told = only(choose(say("Red."), say("Redder."), clue="red"), pause("1 s"))
    assert told.worst_s == within_a_frame(1 + 2 * spoken_s("Redder."))


def test_what_the_script_remembers():
    """A fact set in the first round changes the rounds after it."""
    play = (
        say("Red.", clue="red"),
        Pause(pause="9 s", when="not w"),
        remember(w=True),
        pause("1 s"),
    )
    (clue,) = times_of(*play, facts={"w": False})
    assert clue.times.mean_s == within_a_frame((1 + spoken_s("Red.")) / 2 + spoken_s("Red."))


def test_a_segment_that_does_not_repeat_has_no_loop():
    """Only what is repeated can be waited for."""
    assert times_of(say("Red.", clue="red"), repeat=False) == []


def test_what_cannot_be_made_is_said():
    """A clue without a length has no times, and the reason is told."""
    (clue,) = times_of(say("Red.", clue="red"), sound=lambda content: Failure("cannot be made"))
    assert clue.trouble == "The say 'Red.' cannot be made."
    assert clue.unmade == say("Red.", clue="red")
    told = times_of(
        choose(say("Blue."), say("Green.")),
        say("Red.", clue="red"),
        sound=lambda content: Failure("cannot be made"),
    )
    assert [clue.trouble for clue in told] == ["The say 'Blue.' cannot be made."]
