"""A script in several files: one programme, and every fault in the file where it stands."""

from pathlib import Path

import pytest

from broadcaster.script.including import MOST_FILES
from broadcaster.script.loading import examine, load_programme

SCRIPT = """\
programme: Low Water
station: {callsign: Heron, frequency: 91.3 MHz, voice: keeper}
opening: watch
include: [shared.yaml, tide.yaml]
facts:
  lamp_lit: no
segments:
  watch:
    play: [{say: "The tide is {tide}."}]
    exits: [{to: night}]
"""
SHARED = """\
include: [tide.yaml]
milestones:
  lamp: {when: lamp_lit, by: 12 min}
segments:
  night:
    play: [{pause: 1 s}]
    exits: [{to: end}]
timetable:
  - {at: 10 min, play: [{say: Ten minutes.}]}
"""
TIDE = """\
facts:
  tide: {one of: [low, high], at first: low}
timetable:
  - {at: 20 min, play: [{say: Twenty minutes.}]}
"""


@pytest.fixture
def files(tmp_path, monkeypatch):
    """Writes files into the folder in which the test runs, and says what is wrong with them."""
    monkeypatch.chdir(tmp_path)

    def write(script=SCRIPT, **others):
        others = {"shared": SHARED, "tide": TIDE} | others
        for name, text in {"show": script, **others}.items():
            Path(f"{name}.yaml").write_text(text, encoding="utf-8")
        return [str(fault) for fault in examine("show.yaml").faults]

    return write


def test_included_files_belong_to_the_programme(files):
    """Facts, milestones, segments and timetable of all files, also of one included twice."""
    assert files() == []
    programme = load_programme("show.yaml")
    assert list(programme.facts) == ["lamp_lit", "tide"]
    assert list(programme.segments) == ["watch", "night"]
    assert list(programme.milestones) == ["lamp"]
    assert [entry.at for entry in programme.timetable] == [600, 1200]


def test_a_fault_points_into_its_file(files):
    """Of form or of meaning, and in the order of the files' names."""
    script = SCRIPT.replace("{tide}", "{tied}")
    shared = SHARED.replace("when: lamp_lit", "when: lamp").replace("at: 10 min", "at: 10")
    assert files(script, shared=shared, tide=TIDE.replace("at first", "at last")) == [
        "shared.yaml:3:16: There is no fact `lamp`. Did you mean `lamp_lit`?",
        "shared.yaml:9:10: `10` is not a duration. Write it as `10 s` or `10 min`.",
        "show.yaml:9:32: There is no fact `tied`. Did you mean `tide`?",
        "tide.yaml:2:9: `tide` lacks `at first`. Add `at first: ...`.",
        "tide.yaml:2:31: `at last` is not known here. Did you mean `at first`?",
    ]


def test_the_place_of_an_included_part_can_be_asked_for(files):
    """Whoever finds something in it later can point there."""
    files()
    place = examine("show.yaml").place_of("segments", "night", "play", 0, "pause")
    assert str(place) == "shared.yaml:6:20"


def test_what_could_not_be_included_is_not_missed(files):
    """One fault for the file, none for the names that may be in it."""
    assert files(shared="segments: ]") == [
        "shared.yaml:1:11: A text cannot begin with this character. Put the whole text in quotes."
    ]


def test_a_script_has_an_end(files):
    """More than MOST_FILES files, or more than one file may hold in all of them, are refused."""
    names = [f"part{number}" for number in range(MOST_FILES)]
    script = SCRIPT.replace("shared.yaml, tide.yaml", ", ".join(f"{name}.yaml" for name in names))
    (fault,) = files(script, **dict.fromkeys(names, "timetable: []\n"))
    assert "The script has more than 20 files." in fault
    comment = f"# {'x' * 600_000}\n"
    (fault,) = files(shared=SHARED + comment, tide=TIDE + comment)
    assert "The included files are larger than 1024 KiB together." in fault


def test_a_link_does_not_lead_out_of_the_folder(files, tmp_path):
    """A file beside the script that is a link to one elsewhere is not beside the script."""
    elsewhere = tmp_path / "elsewhere"
    elsewhere.mkdir()
    (elsewhere / "tide.yaml").write_text(TIDE, encoding="utf-8")
    Path("linked.yaml").symlink_to(elsewhere / "tide.yaml")
    (fault,) = files(SCRIPT.replace("tide.yaml]", "linked.yaml]"))
    assert fault.startswith("show.yaml:4:24: `linked.yaml` is not the name of a file in the")


@pytest.mark.parametrize("name", ["''", "n" * 300 + ".yaml", "..", ".", "C:x.yaml", "a/b.yaml"])
def test_odd_names_are_refused_in_a_sentence(files, name):
    """Nothing, too much, a folder, another system's path."""
    faults = files(SCRIPT.replace("tide.yaml", name), shared="timetable: []\n")
    assert [fault.split(": ")[0] for fault in faults] == ["show.yaml:4:24"]
