"""The check: what it prints, its JSON, and the bounds of tune-in times."""

import json
import shutil

import pytest

from broadcaster.errors import SpeechError
from broadcaster.rehearsal.checking import check_script
from broadcaster.rehearsal.lengths import Lengths
from broadcaster.script.shelves import voice_files
from broadcaster.voice import system
from broadcaster.voice.speaker import Speaker

SCRIPT = """\
programme: A watch
station: {callsign: Heron, frequency: 91.3 MHz, voice: keeper}
opening: watch
segments:
  watch:
    repeat: yes
    play:
      - morse: REED
        speed: 6 wpm
        clue: reed
      - pause: 30 s
"""
MORSE_S = (7 + 3 + 1 + 3 + 1 + 3 + 7 + 7) * 0.2


@pytest.fixture
def check(tmp_path):
    def check(text, **options):
        script = tmp_path / "watch.yaml"
        script.write_text(text, encoding="utf-8")
        return check_script(str(script), lambda programme: Lengths(programme, tmp_path), **options)

    return check


def test_a_sound_script_prints_its_summary(check):
    """Nothing else, and no lengths are asked for."""
    text = check(SCRIPT).as_text()
    assert text.endswith("watch.yaml: no faults in 'A watch': 1 segment, 2 items, 1 clue.")
    assert text.count("\n") == 0


def test_the_json(check):
    """One object, with the times of each clue in seconds."""
    record = json.loads(json.dumps(check(SCRIPT, clues=True).as_record()))
    assert (record["faults"], record["advice"], record["segments"]) == ([], [], ["watch"])
    (clue,) = record["clues"]
    assert (clue["segment"], clue["clue"]) == ("watch", "reed")
    assert clue["length_s"] == pytest.approx(MORSE_S)
    assert clue["worst_s"] == pytest.approx(30 + 2 * MORSE_S)
    assert clue["mean_s"] == pytest.approx((30 + MORSE_S) / 2 + MORSE_S)
    assert clue["p90_s"] == pytest.approx(0.9 * (30 + MORSE_S) + MORSE_S)
    assert clue["assembled_worst_s"] == pytest.approx(30 + MORSE_S + 7 * 0.2)


def test_a_bound_of_a_clue(check):
    """Excess is a fault, at the bound, with both times."""
    bound = SCRIPT.replace("clue: reed", "clue: reed\n        within: 40 s")
    (fault,) = check(bound).faults
    assert (fault.place.line, fault.place.column) == (11, 17)
    assert fault.message == (
        "Whoever tunes in at the worst moment has heard this clue after 42.8 s; 40 s are allowed."
    )
    assert check(bound.replace("40 s", "43 s")).faults == ()


def test_a_bound_for_all_clues(check):
    """The programme's bound holds where a clue has none of its own."""
    (fault,) = check("clues within: 40 s\n" + SCRIPT).faults
    assert fault.place.line == 11
    looser = SCRIPT.replace("clue: reed", "clue: reed\n        within: 50 s")
    assert check("clues within: 40 s\n" + looser).faults == ()


def test_a_bound_for_a_clue_that_is_not_repeated(check):
    """It cannot be kept."""
    once = SCRIPT.replace("clue: reed", "clue: reed\n        within: 9 min\n        once: yes")
    assert [fault.message for fault in check(once).faults] == [
        "This clue is not repeated, and 9 min are allowed."
    ]


def test_what_is_proved_is_printed(check):
    """A trap is a fault of the check."""
    trap = SCRIPT.replace(
        "    repeat: yes", "    repeat: yes\n    exits: [{to: end, when: x and not x}]"
    )
    text = check(trap + "facts: {x: no}\n").as_text()
    assert "This exit is never taken: nothing brings about its `when` in `watch`." in text
    assert "From then on no ending can be reached" in text
    assert text.endswith("watch.yaml: 2 faults.")


VENUE = "serial: {port: /dev/ttyACM0}\nlamp: {over: [serial]%s}\n"


@pytest.mark.parametrize(
    ("morse", "wpm", "at_most", "flashes"),
    [
        ("HHHH", 6, "", None),  # a dot and its gap: 0.4 s
        ("HHHH", 7.2, "", None),  # a third of a second: continuous dots flash three times
        ("HHHH", 8, "", 4),
        ("HHHH", 8, ", at most: 3", None),
        ("HHHH", 10, ", at most: 5", 4),
        ("PARIS", 8, "", None),
        ("'{crates}'", 8, "", 4),  # who knows which: 5 is five dots
        ("'{crates}'", 7, "", None),
    ],
)
def test_a_lamp_that_would_flash_too_fast(check, tmp_path, morse, wpm, at_most, flashes):
    """More than three times within a second is advised against, at the item (WCAG 2.2, 2.3.1)."""
    script = SCRIPT.replace("REED", morse).replace("6 wpm", f"{wpm} wpm")
    script += "facts: {crates: 5}\n"
    assert "flashes" not in check(script).as_text()
    (tmp_path / "station.yaml").write_text(VENUE % at_most)
    report = check(script)
    found = [fault for fault in report.advice if "the lamp flashes" in fault.message]
    assert not report.faults
    if flashes is None:
        assert found == []
    else:
        (fault,) = found
        assert f"flashes {flashes} times within a second" in fault.message
        assert (fault.place.line, fault.place.column) == (8, 16 + morse.startswith("'"))


def test_what_the_settings_leave_to_this_machine_is_advice(check, tmp_path):
    """A broadcast goes on without the door, so it is no fault; with the settings' own line."""
    (tmp_path / "station.yaml").write_text("http: {token file: ./lost}\n")
    report = check(SCRIPT)
    (found,) = [advice for advice in report.advice if "station.yaml" in advice.place.file]
    assert not report.faults
    assert (found.place.line, found.place.column) == (1, 20)
    assert found.mend == "Until then `http` does not open."


def test_faults_of_the_venues_settings_are_faults(check, tmp_path):
    """Those that are named; with their own file and line, and counted as that file's."""
    settings = tmp_path / "other.yaml"
    settings.write_text("http: {token: secret}\n")
    report = check(SCRIPT, settings=str(settings))
    (fault,) = report.faults
    assert str(fault.place) == f"{settings}:1:8"
    assert report.as_text().endswith(f"\n{settings}: 1 fault.")


def test_a_choice_that_tells_the_time_is_timed(check):
    """Each of the times that a text can hold."""
    for time in ("clock", "time left", "session time"):
        choice = f'choose: [{{say: "{{{time}}}"}}, {{pause: 9 s}}]'
        told = SCRIPT.replace("pause: 30 s", choice)
        report = check(told, clues=True)
        assert report.faults == ()
        assert report.clues[0].times.worst_s > 9


def test_words_that_cannot_be_spoken_are_a_fault(check, monkeypatch, tmp_path):
    """At the item, once, within a choice too, whichever clue cannot be timed for them."""

    def refuse(speaker, utterance):
        raise SpeechError(utterance.text, "the voice passes over it in silence.")

    monkeypatch.setattr(Speaker, "speak", refuse)
    text = SCRIPT.replace(
        "      - pause: 30 s",
        "      - choose: [{say: Red.}, {say: Green.}]\n      - {pause: 1 s, clue: b}",
    )
    (fault,) = check("clues within: 5 min\n" + text).faults
    assert (fault.place.line, fault.place.column) == (12, 24)
    heard = check(
        text.replace("      - {pause: 1 s, clue: b}", "        clue: b"), sound_in=tmp_path
    )
    assert [fault.message for fault in heard.faults] == [
        f"The say '{word}.' cannot be made: could not speak '{word}.': "
        "the voice passes over it in silence."
        for word in ("Red", "Green")
    ]
    assert fault.message == (
        "The say 'Red.' cannot be made: could not speak 'Red.': "
        "the voice passes over it in silence."
    )


VOICE = "about: nobody\n%s\n"


@pytest.mark.parametrize(
    ("voice", "place", "said"),
    [
        ("engine voice: gmw/en+dracula", "2:15", "espeak-ng has no variant 'dracula'. Near it: "),
        ("engine voice: gmw/eng", "2:15", "espeak-ng has no voice 'gmw/eng'. Near it: gmw/en"),
        ("engine: system", "2:9", "has no voices of its own for `engine: system`"),
        ("engine voice: art/xex", "2:15", "it says nothing."),
    ],
)
def test_a_voice_that_cannot_speak_is_a_fault(check, tmp_path, voice, place, said, monkeypatch):
    """In its own file, where it is to be mended; no item is a fault beside it."""
    monkeypatch.setattr(system, "_DRIVERS", {})
    (tmp_path / "voices").mkdir()
    (tmp_path / "voices" / "nobody.yaml").write_text(VOICE % voice)
    text = SCRIPT.replace("keeper", "nobody").replace("pause: 30 s", "say: Red.")
    for options in ({}, {"clues": True}, {"sound_in": tmp_path}):
        (fault,) = check(text, **options).faults
        assert str(fault.place).endswith(f"nobody.yaml:{place}")
        assert fault.message.startswith("The voice `nobody` cannot speak: ")
        assert said in fault.message


def test_what_a_bank_falls_back_on_must_speak(check, tmp_path):
    """Even if nothing asks for it yet: the operator will."""
    shutil.copytree(voice_files()["clock"].parent / "clock", tmp_path / "voices" / "clock")
    (tmp_path / "voices" / "nobody.yaml").write_text(
        VOICE % "engine: bank\nbank: clock\nfallback: espeak\nengine voice: gmw/en+dracula"
    )
    (fault,) = check(SCRIPT.replace("keeper", "nobody")).faults
    assert str(fault.place).endswith("nobody.yaml:4:11")


def test_a_bank_without_a_phrase_in_a_choice(check, tmp_path):
    """A fault at the variant, and no more than that, with or without tables."""
    text = SCRIPT.replace("keeper", "clock").replace(
        "pause: 30 s", "choose: [{say: precisely}, {say: Gooseberries}]"
    )
    text += "        clue: b\n"
    for options in ({}, {"clues": True}, {"sound_in": tmp_path}):
        (fault,) = check(text, **options).faults
        assert fault.message == "The voice `clock` has no clip of `gooseberries`."
        assert (fault.place.line, fault.place.column) == (11, 42)
