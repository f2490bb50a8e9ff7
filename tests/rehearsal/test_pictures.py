"""The two pictures: sound SVG, everything in it that there is to show, nothing off the sheet."""

import re
import xml.etree.ElementTree as ET

import pytest

from broadcaster.errors import UsageError
from broadcaster.rehearsal import picture_svg as ink
from broadcaster.rehearsal.course import Course
from broadcaster.rehearsal.picture_session import session_picture
from broadcaster.rehearsal.picture_story import story_picture
from broadcaster.rehearsal.picture_svg import Sheet, fitted, width_of, write_picture
from broadcaster.rehearsal.picture_wires import CLEAR, in_lanes
from broadcaster.rehearsal.session import Rehearsal
from broadcaster.rehearsal.story_map import story_map
from broadcaster.script.loading import load_programme
from broadcaster.script.programme import Pips
from broadcaster.script.reception import signal
from broadcaster.story.events import (
    GiveHint,
    Hold,
    Jump,
    Resume,
    SetFact,
    SetReadability,
    SetSignal,
    StartSession,
)
from broadcaster.units import RATE
from tests.air.make import on_air
from tests.rehearsal.make import Pauses, night_watch
from tests.story.make import MINUTE, entry, pause, programme, say, segment

SVG = "{http://www.w3.org/2000/svg}"


def words_of(sheet: Sheet) -> list[str]:
    """All that is written on a sheet; fails unless it is well-formed."""
    return [text.text or "" for text in ET.fromstring(sheet.svg()).iter(f"{SVG}text")]


def eventful() -> Course:
    """A session with everything in it: jumps, hints, a hold, late milestones, a refusal."""
    agenda = (
        (0, StartSession()),
        (61 * RATE, GiveHint()),
        (2 * MINUTE, Hold()),
        (3 * MINUTE, Resume()),
        (25 * MINUTE, SetFact("lamp", True)),
        (26 * MINUTE, SetFact("crates", 9)),
        (27 * MINUTE, Jump("office")),
        (28 * MINUTE, Jump("light")),
    )
    return Course(Rehearsal(night_watch(), agenda).run(Pauses()))


def test_the_story_shows_every_segment_exit_and_clue():
    """The demo: seventeen segments by name and number, each exit's condition, each clue."""
    show = load_programme("low-water")
    words = words_of(story_picture(show))
    assert set(show.segments) <= set(words)
    for segment_ in show.segments.values():
        for way in segment_.exits:
            assert (way.when.source if way.when else "always") in words
        for clue in (item.clue for item in segment_.play if item.clue):
            assert any(clue.startswith(word.rstrip("…")) for word in words if word)
    assert "ONLY THE OPERATOR GOES HERE" in words
    assert "END: the session is over, the station stands by" in words


def test_only_the_operator_reaches_what_no_exit_leads_to():
    """And what the timetable moves to is no such place."""
    show = night_watch()
    assert [stop.name for stop in story_map(show).aside] == ["office"]
    moved = night_watch(timetable=(entry(at="50 min", segment="office"),))
    assert story_map(moved).aside == ()
    assert [(way.to, way.when) for way in story_map(moved).due] == [("office", "at: 50 min")]


def test_the_opening_stands_first_whatever_the_script_says():
    """The numbers stay those of the script."""
    show = night_watch().model_copy(update={"opening": "light"})
    assert [(stop.name, stop.number) for stop in story_map(show).stops] == [
        *(("light", 2), ("dark", 1), ("home", 3)),
    ]


def test_wires_in_one_lane_never_meet():
    """Many wires: each lane holds only such as lie clear of each other."""
    joints = {f"{number}": [number * 10.0, number * 17.0 % 400] for number in range(40)}
    entries = {name: heights[0] + 90 for name, heights in joints.items()}
    wires = in_lanes(joints, entries)
    assert len(wires) == 40
    for wire in wires:
        for other in wires:
            if wire is not other and wire.lane == other.lane:
                assert wire.bottom + CLEAR <= other.top or other.bottom + CLEAR <= wire.top


def test_a_session_shows_all_that_happened():
    """Segments, facts, milestones, hints, the operator, and what went wrong."""
    words = words_of(session_picture(eventful()))
    for said in (
        *("ON AIR", "CLUES", "FACTS", "MILESTONES", "HINTS", "OPERATOR", "WENT WRONG"),
        *("dark", "light", "office", "crates", "yes", "the key"),
        *("met 25:00", "not met", "jump to office", "holds", "goes on"),
    ):
        assert said in words
    assert any(word.startswith("1 of 2, dark") for word in words)
    assert any("outside its bounds" in word for word in words)


def test_a_lane_without_anything_is_left_out():
    """Nothing went wrong, nobody sat at the console: no such headings."""
    course = Course(Rehearsal(night_watch(), ((0, StartSession()),), length=RATE).run(Pauses()))
    words = words_of(session_picture(course))
    assert not {"WENT WRONG", "OPERATOR", "HINTS"} & set(words)


@pytest.mark.parametrize("picture", ["story", "session"])
def test_everything_lies_on_the_sheet(picture):
    """No word, line or mark sticks out."""
    sheet = story_picture(night_watch()) if picture == "story" else session_picture(eventful())
    for element in ET.fromstring(sheet.svg()).iter():
        if element.tag == f"{SVG}text":
            width = width_of(element.text or "", float(element.get("font-size")))
            shift = {"middle": 0.5, "end": 1.0}.get(element.get("text-anchor", ""), 0.0)
            left = float(element.get("x")) - shift * width
            assert left >= 0
            assert left + width <= sheet.width
            assert 0 < float(element.get("y")) < sheet.height
        elif element.tag == f"{SVG}path":
            numbers = [float(found) for found in re.findall(r"-?[0-9.]+", element.get("d"))]
            assert all(0 <= x <= sheet.width for x in numbers[::2])
            assert all(0 <= y <= sheet.height for y in numbers[1::2])


def test_markup_in_a_script_stays_text():
    """Names with signs of XML in them do not break the picture."""
    name = 'a <b> & "c"'
    show = programme({name: segment(say("one"), pause("1 s"), exits=({"to": "end"},))})
    assert name in words_of(story_picture(show))


def contrast(one: str, other: str) -> float:
    """Contrast ratio (WCAG 2.1, relative luminance and contrast ratio)."""

    def luminance(colour: str) -> float:
        parts = [int(colour[place : place + 2], 16) / 255 for place in (1, 3, 5)]
        linear = [p / 12.92 if p <= 0.04045 else ((p + 0.055) / 1.055) ** 2.4 for p in parts]
        return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]

    lighter, darker = sorted((luminance(one), luminance(other)), reverse=True)
    return (lighter + 0.05) / (darker + 0.05)


def test_what_is_written_can_be_read():
    """Ink on paper and on each tint: at least 4.5 to 1 (WCAG 2.1, criterion 1.4.3, AA)."""
    for ground in (ink.PAPER, *ink.TINTS):
        assert contrast(ink.INK, ground) > 7
    for colour, tint in zip(ink.COLOURS, ink.TINTS, strict=True):
        assert contrast(colour, tint) > 4.5
        assert contrast(colour, ink.PAPER) > 4.5
    assert contrast(ink.ALARM, ink.PAPER) > 4.5


def test_a_label_is_shortened_to_its_room():
    """With an ellipsis; nothing where not even that would tell."""
    assert fitted("a wide gate", 100 * ink.LETTER_WIDTH, 10) == "a wide ga…"
    assert fitted("a wide gate", 110 * ink.LETTER_WIDTH, 10) == "a wide gate"
    assert fitted("a wide gate", 20 * ink.LETTER_WIDTH, 10) == ""


def test_a_picture_that_cannot_be_written_says_so(tmp_path):
    """In a sentence, and nothing is left behind."""
    sheet = Sheet(10, 10, "nothing")
    with pytest.raises(UsageError, match="Cannot write"):
        write_picture(sheet, tmp_path / "gone" / "story.svg")
    write_picture(sheet, tmp_path / "story.svg")
    assert [path.name for path in tmp_path.iterdir()] == ["story.svg"]


def test_a_session_shows_how_it_was_received():
    """The signal as it followed a fact and the operator, and the readability that was asked for."""
    show = night_watch()
    station = show.station.model_copy(update={"signal": signal("3 + lamp")})
    agenda = (
        (0, StartSession()),
        (5 * MINUTE, SetFact("lamp", True)),
        (6 * MINUTE, SetSignal(1.5)),
        (7 * MINUTE, SetReadability(2.5)),
    )
    heard = Rehearsal(show.model_copy(update={"station": station}), agenda).run(Pauses())
    words = words_of(session_picture(Course(heard)))
    lane = words[words.index("SIGNAL") : words.index("FACTS")]
    assert lane == ["SIGNAL", "strength", "3", "4", "1.5", "readability", "as written", "2.5"]
    assert "SIGNAL" not in words_of(session_picture(eventful()))


def test_one_of_a_kind_is_told_as_one():
    """`1 segment`, `1 hint`: in the picture of the story and of a session."""
    show = programme(
        {"watch": segment(pause("9 s"), exits=({"to": "end"},), hints=(pause("1 s"),))}
    )
    assert "over and over, 1 hint" in words_of(story_picture(show))
    agenda = ((0, StartSession()), (RATE, GiveHint()))
    words = words_of(session_picture(Course(Rehearsal(on_air(show), agenda).run(Pauses()))))
    assert words[1].endswith("1 segment, 1 hint, 0 clues cut")


def test_the_timetables_texts_are_shown():
    """Of what the timetable plays each item's kind, and what it sends."""
    show = night_watch(timetable=(entry(say("You have {time left}."), Pips(pips=6), at="50 min"),))
    assert story_map(show).played == ("at: 50 min  say You have {time left}.; pips 6",)
