"""Clues that are listened to: what is predicted, which are faults, and what mends them."""

import json
import re
from functools import cache

import pytest

from broadcaster.rehearsal.checking import Report, check_script
from broadcaster.rehearsal.clue_mending import Mending
from broadcaster.rehearsal.clue_sound import ClueSound
from broadcaster.rehearsal.clue_sound_report import mending_words
from broadcaster.rehearsal.lengths import Lengths
from broadcaster.script.reception import signal
from tests.story.make import programme, say, segment

SCRIPT = """\
programme: A watch
station: {callsign: Heron, frequency: 91.3 MHz, voice: keeper, sound: rough}
clue floor: 3
sounds:
  rough:
    about: hiss, and a little hum
    processors:
      - band: 300 Hz to 3 kHz
      - hiss: -24 dB
      - hum: -50 dB
opening: watch
segments:
  watch:
    repeat: yes
    play:
      - groups: 4197
        clue: the gate
      - morse: REED
        speed: 12 wpm
        clue: reed
      - say: This is no clue.
"""


@pytest.fixture(scope="module")
def listen(tmp_path_factory):
    """Each script is listened to once for all tests."""
    folder = tmp_path_factory.mktemp("listen")

    @cache
    def listen(text: str) -> Report:
        script = folder / "watch.yaml"
        script.write_text(text, encoding="utf-8")
        return check_script(
            str(script), lambda programme: Lengths(programme, folder), sound_in=folder
        )

    return listen


def test_a_clue_under_the_floor(listen):
    """A fault at the clue, with the grade; what it says to turn is enough, and so is to ask."""
    report = listen(SCRIPT)
    (fault,) = report.faults
    assert (fault.place.line, fault.place.column) == (17, 15)
    assert re.fullmatch(
        r"This clue comes over at readability \d\.\d, \d\.\d at the worst moment; "
        r"the clue floor is 3\.",
        fault.message,
    )
    found = re.fullmatch(
        r"Set `readability: 3` on this item, or turn `hiss` down by (\d+) dB\.", fault.mend
    )
    assert found
    speech_alone = SCRIPT.replace("        clue: reed\n", "")
    turned = speech_alone.replace("hiss: -24", f"hiss: {-24 - int(found[1])}")
    assert listen(turned).faults == ()
    asked = speech_alone.replace("clue: the gate", "clue: the gate\n        readability: 3")
    report = listen(asked)
    assert report.faults == ()
    assert report.sound is not None
    assert report.sound[0].rated is not None
    assert report.sound[0].rated.mean == pytest.approx(3.0, abs=0.25)


def test_what_is_told_of_each_clue(listen):
    """In the script's order, in figures; what is no clue is left out."""
    record = json.loads(json.dumps(listen(SCRIPT).as_record()))
    groups, morse = record["sound"]
    assert (groups["segment"], groups["clue"], groups["item"]) == ("watch", "the gate", "groups")
    assert (morse["clue"], morse["item"], morse["text"]) == ("reed", "morse", "REED")
    assert 1.0 <= groups["worst"] <= groups["readability"] < 3.0 < morse["readability"]
    assert groups["over_bed_db"] == pytest.approx(4.0, abs=4.0)
    assert (groups["wanted"], groups["roughness"], groups["strength"]) == (None, 1.0, 5.0)


def test_a_weak_signal(listen):
    """Counts at the strongest that the script lets it be; the mend says how strong would do."""
    clear = SCRIPT.replace("hiss: -24", "hiss: -60").replace("        clue: reed\n", "")
    weak = clear.replace("    repeat: yes", "    repeat: yes\n    signal: crates") + (
        "facts: {crates: {at first: 0, from: 0, to: 1}}\n"
    )
    report = listen(weak)
    assert report.sound is not None
    assert {(clue.strength, clue.strength_at_first) for clue in report.sound} == {(1.0, 0.0)}
    assert re.fullmatch(
        r"Let the `signal` of `watch` be [34] \(`crates` comes to 1 at most\)\.",
        report.faults[0].mend,
    )


def test_a_signal_that_begins_weak(listen):
    """A clue that is readable once the room has helped, and noise until then, gets advice."""
    clear = SCRIPT.replace("hiss: -24", "hiss: -60").replace("        clue: reed\n", "")
    weak = clear.replace("    repeat: yes", "    repeat: yes\n    signal: 5 - shut - shut") + (
        "facts: {shut: {at first: 2, from: 0, to: 2}}\n"
    )
    report = listen(weak)
    assert report.faults == ()
    (advice,) = report.advice
    assert (advice.place.line, advice.place.column) == (18, 15)
    found = re.fullmatch(
        r"With the facts as a session begins the signal is 1 here, and this clue comes over at "
        r"readability (\d\.\d); the clue floor is 3\.",
        advice.message,
    )
    assert found
    assert float(found[1]) < 3
    assert advice.mend.endswith("let the `signal` of `watch` begin stronger.")
    (record,) = report.as_record()["sound"]
    assert (record["strength"], record["strength_at_first"]) == (5.0, 1.0)
    assert record["readability_at_first"] < 3 < record["readability"]


def test_a_clue_that_tells_the_time(listen):
    """It is listened to as a session begins; so is each variant of a choice."""
    clear = SCRIPT.replace("hiss: -24", "hiss: -60")
    text = clear.split("      - groups")[0] + (
        '      - choose: [{say: "It is {clock}."}, {say: "It lasts {time left}."}]\n'
        "        clue: the time\n"
    )
    sound = listen(text).sound
    assert sound is not None
    assert [clue.text for clue in sound] == [
        "It is twenty hours.",
        "It lasts one hour.",
    ]


def test_not_asked_for(listen, tmp_path):
    """Without it, nothing is listened to, and the JSON does not speak of it."""
    script = tmp_path / "watch.yaml"
    script.write_text(SCRIPT, encoding="utf-8")
    report = check_script(str(script), lambda programme: Lengths(programme, tmp_path))
    assert report.sound is None
    assert "sound" not in report.as_record()


@pytest.mark.parametrize(
    ("mending", "strength", "words"),
    [
        (Mending(best=5.0, readability=3.5), None, "Set `readability: 3.5` on this item."),
        (Mending(best=5.0, bed="static", down_db=7), None, "Turn `static` down by 7 dB."),
        (
            Mending(best=5.0, readability=3.0, bed="hiss", down_db=6, strength=4.0),
            "2",
            "Set `readability: 3` on this item, or turn `hiss` down by 6 dB, "
            "or let the `signal` of `watch` be 4.",
        ),
        (
            Mending(best=5.0, strength=4.0),
            "pumps",
            "Let the `signal` of `watch` be 4 (`pumps` comes to 3 at most).",
        ),
        (
            Mending(best=5.0, readability=5.0, strength=4.0, together=True),
            "2",
            "Set `readability: 5` on this item, and let the `signal` of `watch` be 4.",
        ),
        (
            Mending(best=2.44),
            None,
            "Even at its gentlest, and with a full signal, `wire` lets it be no more readable "
            "than 2.4: choose another sound, or send it in another way.",
        ),
    ],
)
def test_the_words_of_a_mend(mending, strength, words):
    """What to turn and where, as far as it goes by itself; or that nothing helps."""
    show = programme({"watch": segment(say("one"))})
    watch = show.segments["watch"].model_copy(update={"signal": strength and signal(strength)})
    station = show.station.model_copy(update={"sound": "wire"})
    show = show.model_copy(update={"segments": {"watch": watch}, "station": station})
    clue = ClueSound(("segments", "watch", "play", 0), "one", "say", "one", strength=3.0)
    assert mending_words(mending, clue, show) == words


def test_the_stations_signal():
    """It is named where the segment has none of its own, and for the timetable."""
    show = programme({"watch": segment(say("one"))})
    station = show.station.model_copy(update={"signal": signal("3")})
    show = show.model_copy(update={"station": station})
    clue = ClueSound(("timetable", 0, "play", 0), "one", "say", "one", strength=3.0)
    words = mending_words(Mending(best=5.0, strength=4.0), clue, show)
    assert words == "Let the station's `signal` be 4."
