"""Reading: texts by the sentence, figures singly, every pause exact to the frame."""

import numpy as np
import pytest

from broadcaster.errors import SpeechError
from broadcaster.script.profiles import VoiceProfile
from broadcaster.units import RATE
from broadcaster.voice.figures import spelled
from broadcaster.voice.reading import figure_spans, read_groups, read_spelling, read_text, sentences
from broadcaster.voice.speaker import Speaker
from tests.fakes import FRAMES_PER_CHARACTER, FakeSpeaker

KEEPER = VoiceProfile(
    about="a keeper", figure_gap=0.3, group_gap=1.0, sentence_gap=0.4, pause=0.7, rate=140
)


def groups(text, profile=KEEPER, figures=None, gap=None, group_gap=None, rate=None, speaker=None):
    """read_groups() with nothing of the item's own, unless a test says so."""
    return read_groups(
        text,
        profile,
        figures=figures,
        gap=gap,
        group_gap=group_gap,
        rate=rate,
        speaker=speaker or FakeSpeaker(),
    )


def runs(samples):
    """Lengths of sound and silence in turn, in frames, beginning with sound."""
    borders = np.flatnonzero(np.diff(samples == 0.0)) + 1
    return np.diff([0, *borders, len(samples)]).tolist()


def frames_of(word):
    """How long the stand-in for a speaker takes for a word."""
    return len(word) * FRAMES_PER_CHARACTER


def test_gaps_are_exact():
    """The figure gap between figures, the group gap alone between groups, the pause at the end."""
    assert runs(groups("41 0")) == [
        frames_of("four"),
        round(0.3 * RATE),
        frames_of("one"),
        RATE,
        frames_of("zero"),
        round(0.7 * RATE),
    ]


@pytest.mark.parametrize(
    ("readings", "say_again", "said"),
    [
        ("once", "Again.", "one two | three"),
        ("each group twice", None, "one two | one two | three | three"),
        ("each group twice", "Again.", "one two | Again. one two | three | Again. three"),
        ("all twice", "Again.", "one two | three | Again. one two | three"),
    ],
)
def test_readings(readings, say_again, said):
    """Groups are read as often and in the order that the profile says, its wording between."""
    speaker = FakeSpeaker()
    profile = KEEPER.model_copy(update={"readings": readings, "say_again": say_again})
    samples = groups("12 3", profile, speaker=speaker)
    assert [each.text for each in speaker.said] == said.replace("| ", "").split()
    assert runs(samples).count(RATE) == said.count("|")  # group gaps of one second
    assert runs(samples).count(round(0.4 * RATE)) == said.count("Again.")  # the sentence gap


def test_an_items_readings_win():
    """An item may say how often it is read, whatever its voice usually does."""
    speaker = FakeSpeaker()
    twice = KEEPER.model_copy(update={"readings": "all twice"})
    read_groups(
        "1",
        twice,
        figures=None,
        gap=None,
        group_gap=None,
        rate=None,
        speaker=speaker,
        readings="once",
    )
    assert len(speaker.said) == 1


def test_phrases_in_texts():
    """A text, and the wording between readings, is spoken with the phrases respelled."""
    speaker = FakeSpeaker()
    read_text("Heron is lit.", KEEPER, None, speaker, {"heron": "herring"})
    assert speaker.said[0].text == "herring is lit."


def test_an_items_gaps_win():
    """Gaps of the item's own replace the profile's, zero as well."""
    assert runs(groups("41 0", gap=0.0, group_gap=0.25)) == [
        frames_of("fourone"),
        RATE // 4,
        frames_of("zero"),
        round(0.7 * RATE),
    ]


def test_each_figure_is_an_utterance():
    """Figures are said singly, with a leading zero, at the rate asked for."""
    speaker = FakeSpeaker()
    groups("083", rate=90, speaker=speaker)
    assert [(each.text, each.rate) for each in speaker.said] == [
        ("zero", 90),
        ("eight", 90),
        ("three", 90),
    ]


@pytest.mark.parametrize(
    ("profile_figures", "item_figures", "word"),
    [("plain", None, "nine"), ("aeronautical", None, "niner"), ("plain", "aeronautical", "niner")],
)
def test_how_figures_are_said(profile_figures, item_figures, word):
    """The profile says how; an item may say otherwise."""
    speaker = FakeSpeaker()
    profile = KEEPER.model_copy(update={"figures": profile_figures})
    groups("9", profile, figures=item_figures, speaker=speaker)
    assert speaker.said[0].text == word


def test_spelling():
    """A word is spelled by the alphabet, with the figure gap between code words."""
    samples = read_spelling("Eel", KEEPER, None, None, FakeSpeaker())
    gap = round(0.3 * RATE)
    echo = frames_of("Echo")
    assert runs(samples) == [echo, gap, echo, gap, frames_of("Lima"), round(0.7 * RATE)]


def test_text_by_the_sentence():
    """A text is spoken sentence by sentence, with the sentence gap between and the pause after."""
    samples = read_text("The lamp is lit.  Shut the gate!", KEEPER, None, FakeSpeaker())
    assert runs(samples) == [
        frames_of("The lamp is lit."),
        round(0.4 * RATE),
        frames_of("Shut the gate!"),
        round(0.7 * RATE),
    ]


@pytest.mark.parametrize(
    "text",
    [
        "Heron calling.| Heron calling all keepers!| Who is there?| Wait…| Now.",
        "“The lamp is lit.”| (The gate is shut.)| Good.",
        "At 7.30 by J. Marsh, St. Osyth, to Capt. Lee.| No. 5 it is.",
        "He said no... and left.",
        "Two lamps.| 3 gates.",
        "Да.| Нет.",
        "no end",
    ],
)
def test_where_sentences_end(text):
    """Sentences end where a reader would say so; abbreviations and small letters go on."""
    assert sentences(text.replace("|", "")) == [part.strip() for part in text.split("|")]


def test_sentences_lose_nothing():
    """No character of a text is lost between its sentences."""
    text = "A. B? C! D… “E.” (F.) 5.5 g. H"
    assert " ".join(sentences(text)) == text


def test_a_sentence_without_words_is_left_out():
    """Points on their own are a pause at most, not a fault of the whole text."""
    speaker = FakeSpeaker()
    read_text("Wait. … Now.", KEEPER, None, speaker)
    assert all("W" in each.text or "N" in each.text for each in speaker.said)


@pytest.mark.parametrize("text", ["", "...", " \n "])
def test_nothing_to_read(text):
    """A text with nothing to say is an error, never silence."""
    with pytest.raises(SpeechError, match="no letter, figure or sign"):
        read_text(text, KEEPER, None, FakeSpeaker())


@pytest.mark.parametrize("word", ["word", "777", "41999", "£17.77", "BBC", "%", "日", "Ж", "a.b"])
def test_long_sentences_lose_nothing(word):
    """A hundred words without a mark take ten times as long as ten, within 2 %: espeak, which
    drops what goes beyond 1,000 phonemes between two marks, gets them in pieces."""
    profile = VoiceProfile(about="in a hurry", rate=450, sentence_gap=0.0, pause=0.0)
    ten = len(read_text(" ".join([word] * 10), profile, None, Speaker(None)))
    hundred = len(read_text(" ".join([word] * 100), profile, None, Speaker(None)))
    assert hundred == pytest.approx(10 * ten, rel=0.025)


def test_a_long_sentence_is_cut_at_a_comma():
    """Where a sentence is too long for one breath, a comma in it is the place to cut."""
    text = f"{'lamp ' * 90}lit, {'gate ' * 90}shut."
    first, second = sentences(text)
    assert first.endswith("lamp lit,")
    assert second.startswith("gate gate")


def test_a_sentence_of_usual_length_is_one_breath():
    """Three hundred letters with commas are not cut."""
    text = "We have an anchor, a blanket, half a loaf, and a good lamp to look at; " * 4
    assert len(sentences(text)) == 1


@pytest.mark.parametrize("readings", ["once", "each group twice", "all twice"])
def test_where_each_figure_is_said(readings):
    """figure_spans() tells the stretches that sound, without making any sound."""
    profile = KEEPER.model_copy(update={"rate": 150, "readings": readings, "say_again": "Again."})
    spans = figure_spans(
        "41 8,A",
        profile,
        gap=0.1,
        group_gap=None,
        frames_of=lambda figure: frames_of(spelled(figure, "plain")[0][0]),
        say_again_frames=frames_of("Again."),
    )
    samples = groups("41 8,A", profile, gap=0.1)
    sounding = np.flatnonzero(np.diff(np.concatenate([[0], samples != 0.0, [0]])))
    stretches = set(zip(*[iter(sounding.tolist())] * 2, strict=True))
    wordings = {"once": 0, "each group twice": 3, "all twice": 1}[readings]
    assert set(spans) < stretches if wordings else set(spans) == stretches
    assert len(stretches - set(spans)) == wordings
