"""The check: what it prints, its JSON, and the bounds of tune-in times."""

import json

import pytest

from broadcaster.rehearsal.checking import check_script
from broadcaster.rehearsal.lengths import Lengths

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
