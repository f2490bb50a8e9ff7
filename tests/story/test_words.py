"""Times in words: each language's own numbers, and figures where a text is keyed."""

from datetime import UTC, datetime, timedelta

import hypothesis.strategies as st
import pytest
from hypothesis import given

from broadcaster.script.profiles import VoiceProfile
from broadcaster.script.programme import Morse, Programme
from broadcaster.story.cue import Times, text_of
from broadcaster.story.events import Hold, Resume, SetFact, StartSession
from broadcaster.story.words import clock_said, length_said, number
from tests.story.make import Run, programme, say, segment

EVENING = datetime(1958, 11, 3, 20, 0, tzinfo=UTC)


def clock(text: str, language: str) -> str:
    return clock_said(datetime.fromisoformat(f"1958-11-03 {text}+00:00"), language)


@pytest.mark.parametrize(
    ("time", "en", "de", "fr", "es"),
    [
        (
            "21:05",
            "twenty-one hours oh five",
            "einundzwanzig Uhr fünf",
            "vingt et une heures cinq",
            "veintiuna horas y cinco",
        ),
        ("00:00", "zero hours", "null Uhr", "zéro heure", "cero horas"),
        ("01:01", "one hour oh one", "ein Uhr eins", "une heure une", "una hora y uno"),
        (
            "23:31",
            "twenty-three hours thirty-one",
            "dreiundzwanzig Uhr einunddreißig",
            "vingt-trois heures trente et une",
            "veintitrés horas y treinta y uno",
        ),
        ("12:00", "twelve hours", "zwölf Uhr", "douze heures", "doce horas"),
    ],
)
def test_the_time_of_day_in_four_languages(time: str, en: str, de: str, fr: str, es: str) -> None:
    """By the 24-hour clock. Checked by hand against the languages' grammars."""
    assert [clock(time, language) for language in ("en", "de", "fr", "es")] == [en, de, fr, es]


@pytest.mark.parametrize(
    ("seconds", "en", "de", "fr", "es"),
    [
        (0, "zero seconds", "null Sekunden", "zéro seconde", "cero segundos"),
        (33, "thirty seconds", "dreißig Sekunden", "trente secondes", "treinta segundos"),
        (60, "one minute", "eine Minute", "une minute", "un minuto"),
        (
            88,
            "one minute and thirty seconds",
            "eine Minute und dreißig Sekunden",
            "une minute et trente secondes",
            "un minuto y treinta segundos",
        ),
        (893, "fifteen minutes", "fünfzehn Minuten", "quinze minutes", "quince minutos"),
        (
            1261,
            "twenty-one minutes",
            "einundzwanzig Minuten",
            "vingt et une minutes",
            "veintiún minutos",
        ),
        (3599, "one hour", "eine Stunde", "une heure", "una hora"),
        (
            21 * 3600 + 60,
            "twenty-one hours and one minute",
            "einundzwanzig Stunden und eine Minute",
            "vingt et une heures et une minute",
            "veintiuna horas y un minuto",
        ),
    ],
)
def test_a_length_of_time_in_four_languages(
    seconds: int, en: str, de: str, fr: str, es: str
) -> None:
    """The nearest minute, and the nearest ten seconds where it is short."""
    said = [length_said(seconds, language) for language in ("en", "de", "fr", "es")]
    assert said == [en, de, fr, es]


@pytest.mark.parametrize("language", ["en", "de", "fr", "es"])
@pytest.mark.parametrize("unit", ["hour", "minute"])
def test_each_number_to_59_has_a_word_of_its_own(language: str, unit: str) -> None:
    """No two sound alike, and none has a figure in it."""
    words = {number(count, language, unit) for count in range(60)}
    assert len(words) == 60
    assert not any(character.isdigit() for word in words for character in word)


@given(st.floats(0, 24 * 3600), st.sampled_from(["en", "de", "fr", "es"]))
def test_any_length_is_said(seconds: float, language: str) -> None:
    """Never empty, never a figure."""
    said = length_said(seconds, language)
    assert said
    assert not any(character.isdigit() for character in said)


@pytest.mark.parametrize(
    ("time", "said"),
    [
        ("20:59:54", "twenty hours fifty-nine"),
        ("20:59:55", "twenty-one hours"),
        ("21:00:54", "twenty-one hours"),
        ("23:59:58", "zero hours"),
    ],
)
def test_the_clock_is_said_by_the_minute_that_is_shown(time: str, said: str) -> None:
    """A few seconds before an hour it is that hour: a time signal is followed by its own."""
    assert clock(time, "en") == said


# --- in a broadcast -----------------------------------------------------------------------------


def test_texts_tell_session_time_time_left_and_the_clock() -> None:
    """At the frame on which the item goes on air; the station knows the time at frame 0."""
    script = programme({"watch": segment(say("{session time}, {time left}, {clock}"))})
    run = Run(script, opened=EVENING).after(60).send(StartSession())
    run.border()
    assert run.after(45 * 60 + 7).texts(1) == [
        "forty-five minutes, fifteen minutes, twenty hours forty-six"
    ]
    assert run.after(3600).texts(1) == [
        "one hour and forty-five minutes, zero seconds, twenty-one hours forty-six"
    ]


def test_a_held_session_s_times_stand_still_but_not_the_clock() -> None:
    """Time left is what the team has left."""
    script = programme({"watch": segment(say("{time left}, {clock}"))})
    run = Run(script, opened=EVENING).send(StartSession()).after(600).send(Hold())
    run.after(600).send(Resume())
    assert run.texts(1) == ["fifty minutes, twenty hours twenty"]


def in_german(text: str) -> Programme:
    profile = VoiceProfile(about="x", language="de")
    script = programme({"watch": segment(say(text, voice="deich"))}, facts={"lamp": False})
    return script.model_copy(update={"cast": {"deich": profile}})


def test_values_are_said_in_the_items_language() -> None:
    """That of the voice that speaks, or of the item's own option."""
    run = Run(in_german("{session time}, {lamp}")).send(StartSession())
    run.border()
    assert run.after(120).texts(1) == ["zwei Minuten, nein"]
    script = programme({"watch": segment(say("{lamp}", language="fr"))}, facts={"lamp": False})
    assert Run(script).send(StartSession()).send(SetFact("lamp", True)).texts(1) == ["oui"]


def test_what_is_keyed_has_figures() -> None:
    """Minutes, and the time of day as 2105: words would be long, and may have accents."""
    times = Times(session_s=1801, left_s=-5, clock=EVENING + timedelta(minutes=65))
    item = Morse(morse="{clock} {session time} {time left} {n}")
    assert text_of(item, {"n": 3}, times, "de") == "2105 30 0 3"
